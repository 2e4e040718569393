import { daysInMonth } from '#shared/dates.ts';
import { closest } from './fuzzy.ts';
import { digitYearAt, numberAt } from './numbers.ts';
import type { AskedSlot, UnitSystem } from './types.ts';
import { hitAt, type Message } from './words.ts';

export interface ReadDate {
  readonly start: number;
  readonly end: number;
  /** YYYY-MM or YYYY-MM-DD. */
  readonly value: string;
  /** The order of day, month and year, or the century, is a guess. */
  readonly doubtful: boolean;
}

export interface DateSettings {
  readonly today: string;
  readonly units: UnitSystem | null;
  readonly asked: AskedSlot | null;
}

interface Parts {
  readonly year: number;
  readonly month: number;
  readonly day?: number;
  readonly doubtful?: boolean;
}

const OLDEST_YEAR = 1980;
const FURTHEST_AHEAD = 25;

const digitsAt = (message: Message, at: number, longest = 2): number | null => {
  const token = message.tokens[at];
  return token?.kind === 'number' && token.decimals === '' && token.text.length <= longest ? Number(token.text) : null;
};

const isMark = (message: Message, at: number, marks: string): boolean => {
  const token = message.tokens[at];
  return token?.kind === 'mark' && marks.includes(token.text);
};

const thisYear = (settings: DateSettings): number => Number(settings.today.slice(0, 4));

/** The year written at a token: four digits, or two with the century of the nearest past (ahead for an expiry). */
const fullYear = (settings: DateSettings, written: string): number | null => {
  const value = Number(written);
  if (written.length === 4) return value >= OLDEST_YEAR && value <= thisYear(settings) + FURTHEST_AHEAD ? value : null;
  if (written.length !== 2) return null;
  const inThisCentury = Math.floor(thisYear(settings) / 100) * 100 + value;
  return inThisCentury <= thisYear(settings) + FURTHEST_AHEAD ? inThisCentury : inThisCentury - 100;
};

const yearAt = (
  message: Message,
  settings: DateSettings,
  at: number,
  alsoTwo: boolean,
): { year: number; end: number; two: boolean } | null => {
  const quoted = isMark(message, at, "'");
  const from = quoted ? at + 1 : at;
  const token = message.tokens[from];
  if (token?.kind === 'number' && token.decimals === '') {
    const two = token.text.length === 2;
    if (two && !alsoTwo && !quoted) return null;
    const year = fullYear(settings, token.text);
    return year === null ? null : { year, end: from + 1, two: two && !quoted };
  }
  if (quoted) return null;
  const spelt = digitYearAt(message, at);
  if (spelt && spelt.year >= OLDEST_YEAR && spelt.year <= thisYear(settings) + FURTHEST_AHEAD)
    return { ...spelt, two: false };
  const said = numberAt(message, at);
  if (said && !said.digits && said.value >= OLDEST_YEAR && said.value <= thisYear(settings) + FURTHEST_AHEAD)
    return { year: said.value, end: said.end, two: false };
  const pair = said && !said.digits && (said.value === 20 || said.value === 19) ? numberAt(message, said.end) : null;
  if (
    message.vocabulary.lexicon.numbers.yearPairs &&
    said &&
    pair &&
    !pair.digits &&
    pair.value >= 10 &&
    pair.value < 100
  ) {
    const year = said.value * 100 + pair.value;
    return year <= thisYear(settings) + FURTHEST_AHEAD ? { year, end: pair.end, two: false } : null;
  }
  return null;
};

const isDay = (value: number | null): value is number => value !== null && value >= 1 && value <= 31;
const isMonth = (value: number | null): value is number => value !== null && value >= 1 && value <= 12;

const exists = ({ year, month, day }: Parts): boolean =>
  isMonth(month) && (day === undefined || (day >= 1 && day <= daysInMonth(year, month)));

const asText = ({ year, month, day }: Parts): string =>
  [String(year), String(month).padStart(2, '0'), ...(day === undefined ? [] : [String(day).padStart(2, '0')])].join(
    '-',
  );

type Found = { parts: Parts; end: number };

/** Day and month where the digits alone do not say which is which (understanding.md, Values). */
const byConvention = (
  message: Message,
  settings: DateSettings,
  first: number,
  second: number,
  year: number,
): Parts | null => {
  if (!isDay(first) || !isDay(second)) return null;
  if (first > 12) return isMonth(second) ? { year, month: second, day: first } : null;
  if (second > 12) return { year, month: first, day: second };
  if (first === second) return { year, month: first, day: first };
  const { monthFirst } = message.vocabulary.lexicon.dates;
  const american = monthFirst === 'always' || (monthFirst === 'with-us-units' && settings.units !== 'metric');
  if (american) return { year, month: first, day: second };
  return { year, month: second, day: first, doubtful: settings.units !== 'metric' };
};

const SEPARATORS = '/-.';

const allDigits = (message: Message, settings: DateSettings, at: number): Found | null => {
  const token = message.tokens[at];
  if (token?.kind !== 'number') return null;
  const { text, whole, decimals } = token;
  if (decimals) {
    if (isMark(message, at - 1, SEPARATORS) && message.tokens[at - 2]?.kind === 'number') return null;
    const first = Number(whole);
    const second = Number(decimals);
    if (token.separator !== '.') return null;
    if (whole.length <= 2 && decimals.length === 4 && isMonth(first)) {
      const year = fullYear(settings, decimals);
      return year === null ? null : { parts: { year, month: first }, end: at + 1 };
    }
    const year = whole.length === 4 && decimals.length <= 2 ? fullYear(settings, whole) : null;
    return year !== null && isMonth(second) ? { parts: { year, month: second }, end: at + 1 } : null;
  }
  if (text.length === 8) {
    const year = fullYear(settings, text.slice(0, 4));
    if (year === null) return null;
    return { parts: { year, month: Number(text.slice(4, 6)), day: Number(text.slice(6)) }, end: at + 1 };
  }
  if (text.length === 6 && settings.asked === 'date') {
    const year = fullYear(settings, text.slice(0, 4));
    return year === null ? null : { parts: { year, month: Number(text.slice(4)) }, end: at + 1 };
  }
  return separated(message, settings, at);
};

const separated = (message: Message, settings: DateSettings, at: number): Found | null => {
  const first = message.tokens[at];
  if (first === undefined) return null;
  const slash = isMark(message, at + 1, SEPARATORS);
  // A full stop ends a sentence: "2015. 1 m". Only where dates are written so may a space follow: "2022. 7. 19".
  const stops = slash && message.tokens[at + 1]?.text === '.' && message.tokens[at + 2]?.spaced === true;
  if (stops && !(message.vocabulary.lexicon.dates.yearFirst && isMark(message, at + 3, '.'))) return null;
  const second = message.tokens[slash ? at + 2 : at + 1];
  const two = digitsAt(message, slash ? at + 2 : at + 1);
  const yearFirst = first.text.length === 4 ? fullYear(settings, first.text) : null;
  if (yearFirst !== null && isMonth(two) && (slash || (settings.asked === 'date' && second?.text.length === 2))) {
    const after = at + (slash ? 3 : 2);
    const again = slash ? isMark(message, after, SEPARATORS) : settings.asked === 'date';
    const day = again ? digitsAt(message, slash ? after + 1 : after) : null;
    if (isDay(day)) return { parts: { year: yearFirst, month: two, day }, end: slash ? after + 2 : after + 1 };
    return { parts: { year: yearFirst, month: two }, end: after };
  }
  if (yearFirst !== null || first.text.length > 2) return null;
  const one = Number(first.text);
  if (!slash) {
    // "05 21 2021", "05 2021" on a label.
    if (settings.asked !== 'date' && settings.asked !== 'age') return null;
    const third = message.tokens[at + 2];
    if (two !== null && third?.kind === 'number' && third.text.length === 4) {
      const year = fullYear(settings, third.text);
      const parts = year === null ? null : byConvention(message, settings, one, two, year);
      return parts ? { parts, end: at + 3 } : null;
    }
    const year = second?.kind === 'number' && second.text.length === 4 ? fullYear(settings, second.text) : null;
    return year !== null && isMonth(one) ? { parts: { year, month: one }, end: at + 2 } : null;
  }
  if (second?.kind !== 'number') return null;
  if (second.decimals) return null;
  if (second.text.length === 4) {
    const year = fullYear(settings, second.text);
    return year !== null && isMonth(one) ? { parts: { year, month: one }, end: at + 3 } : null;
  }
  const again = isMark(message, at + 3, SEPARATORS);
  const third = message.tokens[at + 4];
  if (two !== null && again && third?.kind === 'number' && third.decimals === '') {
    const year = third.text.length === 4 || third.text.length === 2 ? fullYear(settings, third.text) : null;
    if (third.text.length === 2 && message.vocabulary.lexicon.dates.yearFirst) {
      const leading = fullYear(settings, first.text);
      const day = Number(third.text);
      if (leading !== null && isMonth(two) && isDay(day)) {
        const other = year !== null && year <= thisYear(settings) && isDay(one);
        return { parts: { year: leading, month: two, day, doubtful: other && one <= 31 && day > 9 }, end: at + 5 };
      }
    }
    if (year === null) return null;
    const parts = byConvention(message, settings, one, two, year);
    return parts ? { parts, end: at + 5 } : null;
  }
  if (settings.asked === 'date' && isMonth(one) && two !== null && two > 12 && !again) {
    const year = fullYear(settings, second.text);
    return year === null ? null : { parts: { year, month: one, doubtful: true }, end: at + 3 };
  }
  return null;
};

const pastLinkers = (message: Message, at: number): number => {
  let end = at;
  for (let steps = 0; steps < 3; steps++) {
    const linker = hitAt(message, 'date-linker', end);
    if (linker) end = linker.end;
    else if (isMark(message, end, ',.-/')) end += 1;
    else break;
  }
  return end;
};

const pastOrdinal = (message: Message, at: number): number => hitAt(message, 'ordinal', at)?.end ?? at;

const dayAt = (message: Message, at: number): { day: number; end: number } | null => {
  const before = hitAt(message, 'date-before', at, 'day');
  const number = numberAt(message, before?.end ?? at);
  if (!number || !Number.isInteger(number.value) || !isDay(number.value) || number.decimals) return null;
  const ordinal = pastOrdinal(message, number.end);
  return { day: number.value, end: hitAt(message, 'date-after', ordinal, 'day')?.end ?? ordinal };
};

const relativeYear = (message: Message, settings: DateSettings, at: number): { year: number; end: number } | null => {
  const hit = hitAt(message, 'relative-year', at);
  return hit ? { year: thisYear(settings) + Number(hit.name), end: hit.end } : null;
};

const yearSaid = (message: Message, settings: DateSettings, at: number, alsoTwo: boolean) => {
  const relative = relativeYear(message, settings, at);
  if (relative) return { ...relative, two: false };
  const before = hitAt(message, 'date-before', at, 'year');
  const year = yearAt(message, settings, before?.end ?? at, alsoTwo || before !== null);
  if (!year) return null;
  const ordinal = pastOrdinal(message, year.end);
  const after = hitAt(message, 'date-after', ordinal, 'year');
  return { year: year.year, end: after?.end ?? ordinal, two: year.two && !before && !after && ordinal === year.end };
};

/** A month by name, or by number between its marks ("tháng 9", "8月", "شهر 5"). */
const monthAt = (message: Message, at: number): { month: number; end: number; named: boolean } | null => {
  const before = hitAt(message, 'date-before', at, 'month');
  const named = hitAt(message, 'month', before?.end ?? at) ?? hitAt(message, 'month', at);
  if (named) return { month: Number(named.name), end: named.end, named: true };
  const word = message.tokens[at];
  const guessed = word?.kind === 'word' ? closest(message.vocabulary, word.text, 'month', 5) : null;
  if (guessed) return { month: Number(guessed), end: at + 1, named: true };
  const number = numberAt(message, before?.end ?? at);
  if (!number || !isMonth(number.value) || number.decimals || !Number.isInteger(number.value)) return null;
  const after = hitAt(message, 'date-after', number.end, 'month');
  return before || after ? { month: number.value, end: after?.end ?? number.end, named: false } : null;
};

const namedMonth = (message: Message, settings: DateSettings, at: number): Found | null => {
  // Year first: "2022年10月26日", "2021 May".
  const leading = yearSaid(message, settings, at, true);
  if (leading) {
    const month = monthAt(message, pastLinkers(message, leading.end));
    if (month && !leading.two) {
      const day = dayAt(message, pastLinkers(message, month.end));
      const bare = leading.two && !hitAt(message, 'relative-year', at) && !hitAt(message, 'date-after', at + 1, 'year');
      const parts = { year: leading.year, month: month.month, doubtful: bare };
      const alone =
        day && !hitAt(message, 'unit', day.end)
          ? day
          : day && hitAt(message, 'date-after', day.end - 1, 'day')
            ? day
            : null;
      if (alone) return { parts: { ...parts, day: alone.day }, end: alone.end };
      return { parts, end: month.end };
    }
  }
  // Day first: "3 de marzo del 2023", "ngày 21 tháng 1 năm 2025".
  const day = dayAt(message, at);
  const later = day ? monthAt(message, pastLinkers(message, day.end)) : null;
  if (day && later) {
    const year = yearSaid(message, settings, pastLinkers(message, later.end), true);
    if (year) return { parts: { year: year.year, month: later.month, day: day.day }, end: year.end };
  }
  const month = monthAt(message, at);
  if (!month) return null;
  const from = pastLinkers(message, month.end);
  const inner = hitAt(message, 'date-before', from, 'year') ? null : dayAt(message, from);
  if (inner) {
    const year = yearSaid(message, settings, pastLinkers(message, inner.end), true);
    if (year && (!year.two || month.named))
      return { parts: { year: year.year, month: month.month, day: inner.day }, end: year.end };
  }
  const year = yearSaid(message, settings, from, true);
  if (!year || (year.two && !month.named)) return null;
  return { parts: { year: year.year, month: month.month, doubtful: year.two && from === month.end }, end: year.end };
};

const relativeDate = (message: Message, settings: DateSettings, at: number): Found | null => {
  const [year = 0, month = 1, day = 1] = settings.today.split('-').map(Number);
  const days = hitAt(message, 'relative-day', at);
  if (days) {
    const date = new Date(Date.UTC(year, month - 1, day + Number(days.name)));
    return {
      parts: { year: date.getUTCFullYear(), month: date.getUTCMonth() + 1, day: date.getUTCDate() },
      end: days.end,
    };
  }
  const months = hitAt(message, 'relative-month', at);
  if (months) {
    const date = new Date(Date.UTC(year, month - 1 + Number(months.name), 1));
    return { parts: { year: date.getUTCFullYear(), month: date.getUTCMonth() + 1 }, end: months.end };
  }
  return null;
};

export interface FoundDate extends ReadDate {
  /** "last month", "yesterday": a date only where something was born or made then. */
  readonly relative: boolean;
}

/** Every date of the message, in order. */
export const findDates = (message: Message, settings: DateSettings): FoundDate[] => {
  const found: FoundDate[] = [];
  let at = 0;
  while (at < message.tokens.length) {
    const exact = allDigits(message, settings, at) ?? namedMonth(message, settings, at);
    const date = exact ?? relativeDate(message, settings, at);
    if (date && exists(date.parts)) {
      const doubtful = date.parts.doubtful === true;
      found.push({ start: at, end: date.end, value: asText(date.parts), doubtful, relative: exact === null });
      at = date.end;
    } else at += 1;
  }
  return found;
};
