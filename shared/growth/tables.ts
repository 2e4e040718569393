import cdc from './cdc-2000.json' with { type: 'json' };
import type { GrowthMeasure, Reference, Sex } from './reference.ts';
import { FIRST_MONTH, LAST_MONTH, SWITCH_MONTHS } from './reference.ts';
import who from './who-2006.json' with { type: 'json' };

/** Box-Cox power, median (kg or cm) and coefficient of variation of a measure at one age. */
export interface Lms {
  readonly l: number;
  readonly m: number;
  readonly s: number;
}

interface Rows {
  readonly ageMonths: readonly number[];
  readonly l: readonly number[];
  readonly m: readonly number[];
  readonly s: readonly number[];
}

/** WHO's length rows end where its height rows begin; both have a row at 24 months, and there height counts. */
const rowsFor = (reference: Reference, measure: GrowthMeasure, sex: Sex, ageMonths: number): Rows => {
  if (reference === 'CDC 2000') return cdc[measure][sex];
  if (measure === 'weight') return who.weight[sex];
  return ageMonths < SWITCH_MONTHS ? who.length[sex] : who.height[sex];
};

/** Place of the last row at or below an age. WHO rows are whole months; CDC rows are 24, 24.5, 25.5 … 239.5, 240. */
const rowBelow = (reference: Reference, ageMonths: number, firstAge: number): number => {
  if (reference === 'WHO 2006') return Math.floor(ageMonths - firstAge);
  return ageMonths < 24.5 ? 0 : Math.floor(ageMonths - 24.5) + 1 + (ageMonths === 240 ? 1 : 0);
};

const interpolate = (reference: Reference, measure: GrowthMeasure, sex: Sex, ageMonths: number): Lms => {
  const rows = rowsFor(reference, measure, sex, ageMonths);
  const i = rowBelow(reference, ageMonths, rows.ageMonths[0] ?? 0);
  const from = rows.ageMonths[i];
  const to = rows.ageMonths[i + 1] ?? from;
  if (from === undefined || to === undefined || ageMonths < from || ageMonths > to)
    throw new RangeError(`${reference} has no ${measure} at ${ageMonths} months of age`);
  const share = to === from ? 0 : (ageMonths - from) / (to - from);
  const at = (column: readonly number[]): number => {
    const a = column[i] as number;
    return share === 0 ? a : a + share * ((column[i + 1] as number) - a);
  };
  return { l: at(rows.l), m: at(rows.m), s: at(rows.s) };
};

type Monthly = Readonly<Record<GrowthMeasure, Readonly<Record<Sex, readonly (Lms | undefined)[]>>>>;

/** Rows at whole months, the ages nearly every question is about, read once. */
const monthly = (reference: Reference): Monthly => {
  const months = (measure: GrowthMeasure, sex: Sex) =>
    Array.from({ length: LAST_MONTH[reference] + 1 }, (_, month) =>
      month < FIRST_MONTH[reference] ? undefined : interpolate(reference, measure, sex, month),
    );
  const sexes = (measure: GrowthMeasure) => ({ female: months(measure, 'female'), male: months(measure, 'male') });
  return { weight: sexes('weight'), height: sexes('height') };
};

const MONTHLY: Readonly<Record<Reference, Monthly>> = {
  'WHO 2006': monthly('WHO 2006'),
  'CDC 2000': monthly('CDC 2000'),
};

/**
 * L, M and S at an age within the reference's rows, interpolated linearly between neighbouring rows.
 * Throws a RangeError past them: callers ask `referenceAt` first.
 */
export const lmsAt = (reference: Reference, measure: GrowthMeasure, sex: Sex, ageMonths: number): Lms =>
  MONTHLY[reference][measure][sex][ageMonths] ?? interpolate(reference, measure, sex, ageMonths);
