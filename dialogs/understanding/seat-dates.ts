import type { SeatDates } from '../ears.ts';
import { findDates } from './dates.ts';
import { numberAt } from './numbers.ts';
import { findQuantities } from './quantities.ts';
import type { UnitSystem } from './types.ts';
import { DIMENSION, unitAt } from './units.ts';
import { hitAt, hitsOf, type Message } from './words.ts';

interface Dated {
  readonly start: number;
  readonly end: number;
  readonly value: string;
  readonly doubtful: boolean;
}

const OLDEST = 1990;
const FURTHEST_AHEAD = 20;
const LONGEST_LIFE = 20;

/** Years that stand alone: "expires 2030". */
function bareYears(message: Message, dates: readonly Dated[], today: string): Dated[] {
  const thisYear = Number(today.slice(0, 4));
  return message.tokens.flatMap((token, at) => {
    const year = Number(token.text);
    const plain = token.kind === 'number' && token.text.length === 4 && token.decimals === '';
    const inside = dates.some(({ start, end }) => at >= start && at < end);
    if (!plain || inside || year < OLDEST || year > thisYear + FURTHEST_AHEAD) return [];
    return [{ start: at, end: at + 1, value: token.text, doubtful: false }];
  });
}

/** What a date is for, by the nearest word before it, else after it. */
function roleOf(message: Message, { start, end }: Dated): 'made' | 'expiry' | null {
  const cues = hitsOf(message, 'cue', 'made', 'expiry');
  const before = cues.filter((hit) => hit.end <= start).at(-1);
  const after = cues.find((hit) => hit.start >= end);
  return ((before ?? after)?.name as 'made' | 'expiry' | undefined) ?? null;
}

/** "可以用8年": years counted by the word that otherwise dates. */
function yearsOfUse(message: Message, from: number): number | null {
  for (let at = from === Number.POSITIVE_INFINITY ? message.tokens.length : from; at < message.tokens.length; at++) {
    const number = numberAt(message, at);
    if (number && number.value >= 1 && number.value <= LONGEST_LIFE && hitAt(message, 'date-after', number.end, 'year'))
      return number.value;
  }
  return null;
}

/** "5-40 lb": two figures before a unit of weight or height are the limits beside the dates. */
const isSize = (message: Message, { end }: Dated): boolean => {
  return unitAt(message, end)?.ids.some((unit) => DIMENSION[unit] !== 'age') === true;
};

/**
 * Date of manufacture, expiry and useful life as said of a seat. Without a word for it a past date is the date of
 * manufacture, and a second, later one the expiry.
 */
export function readSeatDates(message: Message, today: string, units: UnitSystem): SeatDates | null {
  const exact = findDates(message, { today, units, asked: 'date' }).filter(
    (date) => !date.relative && !isSize(message, date),
  );
  const dates: Dated[] = [...exact, ...bareYears(message, exact, today)].sort((a, b) => a.start - b.start);
  const taken = new Set(dates.flatMap(({ start, end }) => Array.from({ length: end - start }, (_, i) => start + i)));
  const quantities = findQuantities(message, taken, 'age');
  // Beside limits of weight and height, years may be the least age: only those said after a date are its useful life.
  const limits = quantities.some(({ dimension }) => dimension === 'weight' || dimension === 'height');
  const from = limits ? (dates[0]?.start ?? Number.POSITIVE_INFINITY) : 0;
  const years = quantities.find(({ unit, said, start }) => unit === 'year' && said[0] <= LONGEST_LIFE && start >= from);
  const life = years?.said[0] ?? yearsOfUse(message, from);
  let made: Dated | undefined;
  let expiry: Dated | undefined;
  for (const date of dates) {
    const role = roleOf(message, date) ?? (date.value <= today && !made ? 'made' : 'expiry');
    if (role === 'made' && !made) made = date;
    else expiry = date;
  }
  if (!made && !expiry && life === null) return null;
  return {
    ...(made && { manufactureDate: made.value }),
    ...(expiry && { expiryDate: expiry.value }),
    ...(life !== null && { usefulLifeYears: life }),
    mustConfirm: made?.doubtful === true || expiry?.doubtful === true,
  };
}
