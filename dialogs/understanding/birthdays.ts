import { digitsAt, OLDEST_YEAR } from './date-parts.ts';
import { dayBeside, type FoundDate, monthAt } from './dates.ts';
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

/** "cumple años el 14 de febrero, nació en el 2022": a day of a month and a year, each in words of its own. */
export const withSplitBirthDate = (
  message: Message,
  scope: Scope,
  today: string,
  dates: readonly FoundDate[],
): readonly FoundDate[] => {
  const taken = new Set(dates.flatMap(({ start, end }) => Array.from({ length: end - start }, (_, i) => start + i)));
  const [named, ...others] = monthsAlone(message, taken);
  const day = named && others.length === 0 ? dayBeside(message, named) : null;
  if (!named || !day || dates.some(({ relative }) => !relative)) return dates;
  const inSentence = (cues: readonly string[], at: number) =>
    hitsOf(message, 'cue', ...cues).some(({ start }) => scope.sentence[start] === scope.sentence[at]);
  const years = [...message.tokens.keys()].filter((at) => {
    const year = digitsAt(message, at, 4);
    return year !== null && year >= OLDEST_YEAR && year <= Number(today.slice(0, 4));
  });
  const [at] = years;
  if (at === undefined || years.length > 1 || !inSentence(['born', 'reached'], named.start)) return dates;
  const besides = hitsOf(message, 'cue', 'vehicle', 'seat', 'made', 'bought', 'expiry');
  if (besides.some(({ start }) => scope.clause[start] === scope.clause[at])) return dates;
  const two = (value: number) => String(value).padStart(2, '0');
  const value = `${message.tokens[at]?.text}-${two(named.month)}-${two(day.day)}`;
  const parts = { value, doubtful: false, relative: false, born: true };
  const start = Math.min(named.start, day.start);
  return [...dates, { ...parts, start, end: Math.max(named.end, day.end) }, { ...parts, start: at, end: at + 1 }];
};
