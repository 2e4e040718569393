import { monthAt } from './dates.ts';
import type { Quantity } from './quantities.ts';
import type { Scope } from './scope.ts';
import type { Range } from './types.ts';
import { hitAt, hitsOf, type Message } from './words.ts';

/** When the birthday was, or is to be, that a message tells of beside an age in whole years. */
export interface Birthday {
  /** Months to add to the years: negative for a birthday to come. */
  readonly months: Range;
  readonly sentence: number;
  readonly start: number;
  readonly end: number;
  /** Worked out from a month or a span of months, and so read back. */
  readonly doubtful: boolean;
}

const MONTHS = 12;

/** Months named without a year: "turned 4 in March", "3月". */
export const monthsAlone = (
  message: Message,
  taken: ReadonlySet<number>,
): { month: number; start: number; end: number }[] => {
  const found: { month: number; start: number; end: number }[] = [];
  for (let at = 0; at < message.tokens.length; at++) {
    const month = taken.has(at) ? null : monthAt(message, at);
    // "два месяца" counts months.
    if (!month || (!month.named && hitAt(message, 'unit', month.end - 1, 'month'))) continue;
    found.push({ month: month.month, start: at, end: month.end });
    at = month.end - 1;
  }
  return found;
};

/** A birthday told by its month, by months gone since, or as a feast just held. */
export const findBirthday = (
  message: Message,
  scope: Scope,
  today: string,
  taken: ReadonlySet<number>,
  dropped: ReadonlyMap<Quantity, string>,
): Birthday | null => {
  const [feast] = hitsOf(message, 'cue', 'feast');
  const reached = [...hitsOf(message, 'cue', 'reached'), ...hitsOf(message, 'relation', 'just-turned', 'turning')];
  const at = (start: number, end: number, months: Range, doubtful: boolean): Birthday => ({
    months,
    doubtful,
    start,
    end,
    sentence: scope.sentence[start] ?? 0,
  });
  const beside = (start: number) => reached.some((hit) => scope.sentence[hit.start] === scope.sentence[start]);
  const [named] = monthsAlone(message, taken).filter(({ start }) => beside(start));
  if (named) {
    const now = Number(today.slice(5, 7));
    const ahead = hitsOf(message, 'relation', 'turning', 'almost').length > 0;
    const gone = (now - named.month + MONTHS) % MONTHS;
    const left = (named.month - now + MONTHS) % MONTHS;
    const since: Range = [Math.max(0, gone - 1), gone];
    return at(named.start, named.end, ahead ? [-left - 1, -Math.max(1, left)] : since, true);
  }
  const ago = [...dropped].find(([{ unit, start }, why]) => why === 'duration' && unit === 'month' && beside(start));
  if (ago) {
    const [{ start, end, said }] = ago;
    return at(start, end, [said[0], said[1]], true);
  }
  const toGo = [...dropped].find(([{ unit }, why]) => why === 'to-go' && unit === 'month');
  if (toGo) {
    const [{ start, end, said }] = toGo;
    return at(start, end, [-said[1], -said[0]], true);
  }
  return feast ? at(feast.start, feast.end, [0, 1], false) : null;
};
