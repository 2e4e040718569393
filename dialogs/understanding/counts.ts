import { type ChecklistWords, readCountWord } from './checklists.ts';
import { numberAt } from './numbers.ts';
import { findQuantities } from './quantities.ts';
import type { Message } from './words.ts';

const MOST_SAID = 30;

/** How many children a message speaks of: a number in a message without units, or a word such as "twins". */
export function readCount(text: string, message: Message, words: ChecklistWords): number | null {
  const said = readCountWord(text, words);
  if (said !== null) return said;
  if (findQuantities(message, new Set(), null).some(({ unit }) => unit !== null)) return null;
  for (let at = 0; at < message.tokens.length; at++) {
    const number = numberAt(message, at);
    if (!number) continue;
    const { value, end } = number;
    if (Number.isInteger(value) && value >= 1 && value <= MOST_SAID) return value;
    at = end - 1;
  }
  return null;
}
