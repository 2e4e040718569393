import { plausibility } from '#shared/growth/plausible.ts';
import type { Interval } from '#shared/interval.ts';
import { CM_PER_IN, KG_PER_LB } from '#shared/units.ts';
import type { UnitId } from './lexicon.ts';
import type { Quantity } from './quantities.ts';
import type { Range, UnitSystem } from './types.ts';

export type Measure = 'weight' | 'height';

export interface Measured {
  readonly value: Range;
  readonly doubtful: boolean;
}

/** The unit a figure is likely to be in when it cannot be in the one said or guessed. */
const OTHER: Readonly<Partial<Record<UnitId, readonly UnitId[]>>> = {
  lb: ['kg'],
  kg: ['lb'],
  jin: ['kg', 'lb'],
  in: ['cm'],
  cm: ['in'],
};

const FACTOR: Readonly<Partial<Record<UnitId, number>>> = { lb: KG_PER_LB, kg: 1, jin: 0.5, in: CM_PER_IN, cm: 1 };
const GUESS: Readonly<Record<Measure, Readonly<Record<UnitSystem, UnitId>>>> = {
  weight: { us: 'lb', metric: 'kg' },
  height: { us: 'in', metric: 'cm' },
};
const TALLEST_CM = 200;
/** Outside these no child's size was meant, whatever the age. */
const CHILD: Readonly<Record<Measure, Range>> = { weight: [0.3, 150], height: [20, 220] };

const times = ([low, high]: Range, factor: number): Range => [low * factor, high * factor];

const isPossible = (measure: Measure, [min, max]: Range, age: Interval | null): boolean =>
  plausibility(measure, { min, max }, age, null) !== 'false';

const withUnit = (measure: Measure, quantity: Quantity, value: Range, age: Interval | null): Measured => {
  if (age === null || isPossible(measure, value, age)) return { value, doubtful: quantity.doubtful };
  const others = quantity.compound || quantity.unit === null ? [] : (OTHER[quantity.unit] ?? []);
  const swapped = others
    .map((unit) => times(quantity.said, FACTOR[unit] ?? 1))
    .find((candidate) => isPossible(measure, candidate, age));
  return { value: swapped ?? value, doubtful: true };
};

const isChildSize = (measure: Measure, [low, high]: Range): boolean =>
  low >= CHILD[measure][0] && high <= CHILD[measure][1];

/** A size no child has is taken in the other unit, read back, or for nothing. */
const meantOf = (measure: Measure, quantity: Quantity, read: Measured): Measured | null => {
  if (isChildSize(measure, read.value)) return read;
  const others = quantity.compound || quantity.unit === null ? [] : (OTHER[quantity.unit] ?? []);
  const other = others
    .map((unit) => times(quantity.said, FACTOR[unit] ?? 1))
    .find((value) => isChildSize(measure, value));
  return other ? { value: other, doubtful: true } : null;
};

const asMetres = (quantity: Quantity): boolean => {
  const [low, high] = quantity.said;
  const { number } = quantity;
  return number !== null && number.decimals !== '' && number.decimals.length <= 2 && low >= 0.4 && high < 2.2;
};

/**
 * Kilograms or centimetres of a quantity (understanding.md, Units): a unit said is believed unless the growth references
 * rule it out and allow the other; without a unit the age decides, else the habit of the place, read back.
 */
export const resolveMeasure = (
  measure: Measure,
  quantity: Quantity,
  age: Interval | null,
  units: UnitSystem,
): Measured | null => {
  if (quantity.value) return meantOf(measure, quantity, withUnit(measure, quantity, quantity.value, age));
  const { said, number } = quantity;
  if (said[0] <= 0) return null;
  if (measure === 'height' && asMetres(quantity)) {
    const value = times(said, 100);
    const settled = number?.decimals.length === 2 && (age === null || isPossible(measure, value, age));
    return { value, doubtful: quantity.doubtful || !settled };
  }
  if (measure === 'weight' && number?.decimals.length === 3 && number.whole.length < 2 && said[0] < 2) return null;
  const first = GUESS[measure][units];
  const second = GUESS[measure][units === 'us' ? 'metric' : 'us'];
  const guess = times(said, FACTOR[first] ?? 1);
  const other = times(said, FACTOR[second] ?? 1);
  if (age === null) {
    const absurd = measure === 'height' && guess[1] > TALLEST_CM && other[1] <= TALLEST_CM;
    return { value: absurd ? other : guess, doubtful: true };
  }
  const fits = isPossible(measure, guess, age);
  const otherFits = isPossible(measure, other, age);
  if (measure === 'weight' && !fits && !otherFits && said[0] >= 1000 && Number.isInteger(said[0])) {
    const grams = times(said, 0.001);
    if (isPossible(measure, grams, age)) return { value: grams, doubtful: true };
  }
  if (measure === 'height' && !fits && otherFits === false && guess[1] > TALLEST_CM && other[1] <= TALLEST_CM)
    return { value: other, doubtful: true };
  if (fits === otherFits) return { value: guess, doubtful: true };
  return { value: fits ? guess : other, doubtful: quantity.doubtful };
};
