import { type ChecklistWords, readCountWord } from './checklists.ts';
import { numberAt } from './numbers.ts';
import { findQuantities } from './quantities.ts';
import type { Message } from './words.ts';

const MOST_SAID = 30;

/** How many children a message speaks of: a number in a message without units, or a word such as "twins". */
export function readCount(text: string, message: Message, words: ChecklistWords): number | null {
  const said = readCountWord(text, words);
  const counted = readNumber(message);
  // "Three, twins and their brother": the word is a part of them.
  return said === null ? counted : Math.max(said, counted ?? 0);
}

/** The first number that can be one of children, in a message without units. */
function readNumber(message: Message): number | null {
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
