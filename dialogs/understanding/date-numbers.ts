import type { ReadNumber } from './numbers.ts';
import { hitsOf, type Message } from './words.ts';

/** A year in four digits. */
export const isYear = ({ value, whole, digits }: ReadNumber): boolean =>
  digits && whole.length === 4 && value >= 1900 && value < 2100;

/** "14/2": a day and a month, not two numbers. */
export const isBesideSlash = ({ tokens }: Message, { start, end }: ReadNumber): boolean =>
  (tokens[end]?.text === '/' && tokens[end + 1]?.kind === 'number') ||
  (tokens[start - 1]?.text === '/' && tokens[start - 2]?.kind === 'number');

/** "7月", "tháng 7", "june 3rd": a part of a date. */
export const isMonthOrDay = (message: Message, { start, end, value, digits }: ReadNumber): boolean => {
  const parts = (group: 'date-before' | 'date-after') => hitsOf(message, group, 'month', 'day');
  if (parts('date-after').some((hit) => hit.start === end) || parts('date-before').some((hit) => hit.end === start))
    return true;
  const named = hitsOf(message, 'month').find((hit) => hit.end === start);
  const reached = named && hitsOf(message, 'cue', 'reached').some((hit) => hit.end === named.start);
  return named !== undefined && !reached && digits && Number.isInteger(value) && value <= 31;
};
