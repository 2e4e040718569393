import type { Interval } from '#shared/interval.ts';
import type { GrowthMeasure, Reference, Sex } from './reference.ts';
import { ageRuns, possibleSexes, referenceAt, referenceOver } from './reference.ts';
import type { Lms } from './tables.ts';
import { lmsAt } from './tables.ts';

/** Plain z of a value (kg or cm): the LMS formula as published, at any distance from the median. */
export const plainZ = ({ l, m, s }: Lms, value: number): number =>
  l === 0 ? Math.log(value / m) / s : ((value / m) ** l - 1) / (l * s);

/** The value (kg or cm) at a plain z; NaN beyond the ceiling −1/(L·S) that a negative L puts on z. */
export const valueAtZ = ({ l, m, s }: Lms, z: number): number =>
  l === 0 ? m * Math.exp(s * z) : m * (1 + l * s * z) ** (1 / l);

/** CDC's modified z: half the distance between the median and z = ±2 counts as one, however far out. */
export const modifiedZ = (lms: Lms, value: number): number => {
  const side = value > lms.m ? 2 : -2;
  return ((value - lms.m) / (valueAtZ(lms, side) - lms.m)) * side;
};

/** WHO's weight z: beyond ±3 each further step is as wide as that from 2 to 3. */
export const bentZ = (lms: Lms, value: number): number => {
  const z = plainZ(lms, value);
  if (Math.abs(z) <= 3) return z;
  const side = Math.sign(z);
  const third = valueAtZ(lms, 3 * side);
  return side * (3 + (value - third) / (third - valueAtZ(lms, 2 * side)));
};

/** The z as the reference itself defines it: WHO weight bent beyond ±3, all others plain. */
export const referenceZ = (reference: Reference, measure: GrowthMeasure, lms: Lms, value: number): number =>
  reference === 'WHO 2006' && measure === 'weight' ? bentZ(lms, value) : plainZ(lms, value);

/** z of an exact measure (kg or cm) at an exact age, by the reference for that age; null past the tables. */
export const zScore = (measure: GrowthMeasure, value: number, ageMonths: number, sex: Sex): number | null => {
  const reference = referenceAt(ageMonths);
  return reference === null ? null : referenceZ(reference, measure, lmsAt(reference, measure, sex, ageMonths), value);
};

/**
 * All z a measure (kg or cm) can have over the possible sexes and the ages in range (completed months). Null where the
 * range reaches from one reference into the other, since their z cannot be compared, or past the tables.
 */
export const zRange = (measure: GrowthMeasure, value: Interval, age: Interval, sex: Sex | null): Interval | null => {
  const reference = referenceOver(age);
  if (reference === null) return null;
  let min = Number.POSITIVE_INFINITY;
  let max = Number.NEGATIVE_INFINITY;
  for (const run of ageRuns(age))
    for (const each of possibleSexes(sex))
      for (let month = run.first; month <= run.last; month++) {
        const lms = lmsAt(reference, measure, each, month);
        min = Math.min(min, referenceZ(reference, measure, lms, value.min));
        max = Math.max(max, referenceZ(reference, measure, lms, value.max));
      }
  return { min, max };
};
