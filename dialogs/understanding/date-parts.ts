import { daysInMonth } from '#shared/dates.ts';
import { digitYearAt, numberAt } from './numbers.ts';
import type { AskedSlot, UnitSystem } from './types.ts';
import { hitsOf, type Message } from './words.ts';

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

export interface Parts {
  readonly year: number;
  readonly month: number;
  readonly day?: number;
  readonly doubtful?: boolean;
}

export const OLDEST_YEAR = 1980;
export const FURTHEST_AHEAD = 25;

export const digitsAt = (message: Message, at: number, longest = 2): number | null => {
  const token = message.tokens[at];
  return token?.kind === 'number' && token.decimals === '' && token.text.length <= longest ? Number(token.text) : null;
};

export const isMark = (message: Message, at: number, marks: string): boolean => {
  const token = message.tokens[at];
  return token?.kind === 'mark' && marks.includes(token.text);
};

export const thisYear = (settings: DateSettings): number => Number(settings.today.slice(0, 4));

/** The year written at a token: four digits, or two with the century of the nearest past (ahead for an expiry). */
export const fullYear = (settings: DateSettings, written: string): number | null => {
  const value = Number(written);
  if (written.length === 4) return value >= OLDEST_YEAR && value <= thisYear(settings) + FURTHEST_AHEAD ? value : null;
  if (written.length !== 2) return null;
  const inThisCentury = Math.floor(thisYear(settings) / 100) * 100 + value;
  return inThisCentury <= thisYear(settings) + FURTHEST_AHEAD ? inThisCentury : inThisCentury - 100;
};

export const yearAt = (
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
    // "june 3 at 10:30"
    if (two && isMark(message, from + 1, ':')) return null;
    // "2 мес 32 фунта"
    if (two && hitsOf(message, 'unit').some(({ start, name }) => start === from + 1 && name !== 'year')) return null;
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

export const isDay = (value: number | null): value is number => value !== null && value >= 1 && value <= 31;
export const isMonth = (value: number | null): value is number => value !== null && value >= 1 && value <= 12;

export const exists = ({ year, month, day }: Parts): boolean =>
  isMonth(month) && (day === undefined || (day >= 1 && day <= daysInMonth(year, month)));

export const asText = ({ year, month, day }: Parts): string =>
  [String(year), String(month).padStart(2, '0'), ...(day === undefined ? [] : [String(day).padStart(2, '0')])].join(
    '-',
  );

export interface DateFound {
  readonly parts: Parts;
  readonly end: number;
}
