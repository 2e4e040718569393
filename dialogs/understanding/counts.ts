import { type ChecklistWords, readCountWord } from './checklists.ts';
import { numberAt } from './numbers.ts';
import { unitAfter } from './units.ts';
import type { Message } from './words.ts';

const MOST_SAID = 30;

/** How many children a message speaks of: a number without a unit, or a word such as "twins". */
export function readCount(text: string, message: Message, words: ChecklistWords): number | null {
  const said = readCountWord(text, words);
  if (said !== null) return said;
  for (let at = 0; at < message.tokens.length; at++) {
    const number = numberAt(message, at);
    if (!number) continue;
    const { value, end } = number;
    if (Number.isInteger(value) && value >= 1 && value <= MOST_SAID && !unitAfter(message, end)) return value;
    at = end - 1;
  }
  return null;
}
