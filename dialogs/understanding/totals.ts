import type { UnitId } from './lexicon.ts';
import type { Range } from './types.ts';
import { SIZE } from './units.ts';

const wholeYears = (years: number): Range => {
  const whole = Math.floor(years + 1e-9);
  const part = years - whole;
  if (part < 1e-9) return [whole * 12, whole * 12 + 11];
  const first = whole * 12 + Math.round(part * 12);
  return [first, first + (Math.abs(part - 0.5) < 1e-9 ? 5 : 2)];
};

/** Decimals that name a half or a quarter of a year; others are an odd way to say an age. */
export const QUARTERS = new Set(['5', '50', '25', '75']);

/** An amount and the smaller units said after it. */
interface Parts {
  readonly amount: number;
  readonly unit: UnitId;
  readonly smaller: readonly (readonly [number, UnitId])[];
}

/** Completed months. */
export const ageRange = ({ amount, unit, smaller }: Parts): Range => {
  if (unit === 'year' && smaller.length === 0) return wholeYears(amount);
  let days = 0;
  let months = 0;
  for (const [count, each] of [[amount, unit] as const, ...smaller]) {
    if (each === 'year') months += count * 12;
    else if (each === 'month') months += count;
    else days += count * (each === 'week' ? 7 : 1);
  }
  // Weeks and days said beside months do not complete another one, unless there are enough of them.
  const completed = Math.floor(months + days / 30.44 + 1e-9);
  return [completed, completed];
};

/** Kilograms or centimetres. */
export const measured = ({ amount, unit, smaller }: Parts): Range => {
  let sum = amount * SIZE[unit];
  for (const [count, each] of smaller) sum += count * SIZE[each];
  return [sum, sum];
};
