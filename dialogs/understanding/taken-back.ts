import type { Hit } from './patterns.ts';
import { hitsOf, type Message } from './words.ts';

const MOST_WORDS_BEFORE = 3;
/** "24, wait that was with clothes, 23": the words that tell why. */
const MOST_OF_A_REASON = 8;

/** Whether a word such as "no wait" between two things said takes the first of them back. */
export const isTakenBack = (message: Message, end: number, next: number): boolean =>
  hitsOf(message, 'relation', 'correction').some(
    (hit) =>
      hit.start >= end &&
      hit.end <= next &&
      next - hit.end <= (hit.start - end <= 2 ? MOST_OF_A_REASON : MOST_WORDS_BEFORE),
  );

/**
 * Whether it does so beyond doubt. "28 no 29" may also deny the 29; not so with an excuse ("sorry") or a pause after the
 * "no".
 */
export const isClearlyTakenBack = (message: Message, end: number, next: number): boolean => {
  const nots = new Set(hitsOf(message, 'relation', 'not').map((hit) => `${hit.start} ${hit.end}`));
  const isExcuse = ({ start, end: stop }: Hit) => !nots.has(`${start} ${stop}`);
  const corrections = hitsOf(message, 'relation', 'correction').filter(({ start }) => start >= end);
  const pauses = corrections.some((hit) => hit.end < next && message.tokens[hit.end]?.text === ',');
  return isTakenBack(message, end, next) && (pauses || corrections.some(isExcuse));
};
