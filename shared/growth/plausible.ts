import type { Interval, Truth } from '#shared/interval.ts';
import { UNBOUNDED } from '#shared/interval.ts';
import { TOLERANCE } from '#shared/units.ts';
import type { GrowthMeasure, Reference, Sex } from './reference.ts';
import { ageRuns, LAST_MONTH, possibleSexes, referenceAt, SEXES } from './reference.ts';
import { lmsAt } from './tables.ts';
import { valueAtZ } from './z-score.ts';

export type { Sex } from './reference.ts';

/** How far from the median a measure may lie and still be believed (rules.md, Growth, Plausible). */
const LIMIT_Z = 4;

/** The value at z = +4 of the scale that has no ceiling: WHO's bent z, CDC's modified z. Heights stay plain. */
const highest = (reference: Reference, measure: GrowthMeasure, sex: Sex, ageMonths: number): number => {
  const lms = lmsAt(reference, measure, sex, ageMonths);
  if (measure === 'height') return valueAtZ(lms, LIMIT_Z);
  const second = valueAtZ(lms, 2);
  if (reference === 'CDC 2000') return lms.m + (LIMIT_Z / 2) * (second - lms.m);
  const third = valueAtZ(lms, 3);
  return third + (LIMIT_Z - 3) * (third - second);
};

const limitsAt = (measure: GrowthMeasure, sex: Sex, ageMonths: number): Interval => {
  const reference = referenceAt(ageMonths);
  if (reference === null) return UNBOUNDED;
  return {
    min: valueAtZ(lmsAt(reference, measure, sex, ageMonths), -LIMIT_Z),
    max: highest(reference, measure, sex, ageMonths),
  };
};

const wholeMonths = (measure: GrowthMeasure, sex: Sex): readonly Interval[] =>
  Array.from({ length: LAST_MONTH['CDC 2000'] + 1 }, (_, month) => limitsAt(measure, sex, month));

const bySex = (measure: GrowthMeasure) =>
  Object.fromEntries(SEXES.map((sex) => [sex, wholeMonths(measure, sex)])) as Record<Sex, readonly Interval[]>;

const LIMITS: Readonly<Record<GrowthMeasure, Record<Sex, readonly Interval[]>>> = {
  weight: bySex('weight'),
  height: bySex('height'),
};

interface Reach {
  /** Plausible for at least one possible sex and age. */
  readonly some: Interval;
  /** Plausible for every possible sex and age; empty where min is above max. */
  readonly every: Interval;
}

const reach = (measure: GrowthMeasure, age: Interval, sex: Sex | null): Reach => {
  let lowest = Number.POSITIVE_INFINITY;
  let lowestHigh = Number.POSITIVE_INFINITY;
  let highestLow = 0;
  let highest = 0;
  for (const run of ageRuns(age))
    for (const each of possibleSexes(sex))
      for (let month = run.first; month <= run.last; month++) {
        const limits = LIMITS[measure][each][month] ?? limitsAt(measure, each, month);
        lowest = Math.min(lowest, limits.min);
        highestLow = Math.max(highestLow, limits.min);
        lowestHigh = Math.min(lowestHigh, limits.max);
        highest = Math.max(highest, limits.max);
      }
  const every = { min: highestLow, max: lowestHigh };
  // Past the tables anything is plausible.
  return age.max > LAST_MONTH['CDC 2000'] ? { some: UNBOUNDED, every } : { some: { min: lowest, max: highest }, every };
};

/**
 * All weights (kg) or heights (cm) that are plausible for at least one possible sex and one age in range (completed
 * months, each read as that exact age). Unbounded without an age, and where an age in range lies past the tables.
 */
export const plausibleRange = (measure: GrowthMeasure, age: Interval | null, sex: Sex | null): Interval =>
  age === null ? UNBOUNDED : reach(measure, age, sex).some;

/**
 * Whether a weight (kg) or height (cm) is plausible: 'true' if it is for every possible sex, age and value in range,
 * 'false' if it is for none of them, else 'unknown'; 'unknown' without an age. Past the tables anything is plausible.
 */
export const plausibility = (measure: GrowthMeasure, value: Interval, age: Interval | null, sex: Sex | null): Truth => {
  if (age === null) return 'unknown';
  const { some, every } = reach(measure, age, sex);
  if (value.max < some.min - TOLERANCE || value.min > some.max + TOLERANCE) return 'false';
  return value.min >= every.min - TOLERANCE && value.max <= every.max + TOLERANCE ? 'true' : 'unknown';
};
