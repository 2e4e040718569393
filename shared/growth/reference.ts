import type { Interval } from '#shared/interval.ts';

export type Sex = 'female' | 'male';
export type GrowthMeasure = 'weight' | 'height';
export type Reference = 'WHO 2006' | 'CDC 2000';

export const SEXES = ['female', 'male'] as const satisfies readonly Sex[];

/** WHO 2006 below this age, CDC 2000 from it on (rules.md, Growth; MMWR 2010;59(RR-9)). */
export const SWITCH_MONTHS = 24;

/** The ages of each reference's first and last row, in months. */
export const FIRST_MONTH: Readonly<Record<Reference, number>> = { 'WHO 2006': 0, 'CDC 2000': 24 };
export const LAST_MONTH: Readonly<Record<Reference, number>> = { 'WHO 2006': 60, 'CDC 2000': 240 };

/** The reference for a child measured at this age; null past the last row of the CDC tables. */
export const referenceAt = (ageMonths: number): Reference | null =>
  ageMonths < SWITCH_MONTHS ? 'WHO 2006' : ageMonths <= LAST_MONTH['CDC 2000'] ? 'CDC 2000' : null;

/** The one reference for every age in range; null where the range holds ages of both, or of none. */
export const referenceOver = (age: Interval): Reference | null => {
  const first = referenceAt(age.min);
  return first === referenceAt(age.max) ? first : null;
};

/** Ages `first`, `first + 1` … `last`, all judged by one reference. */
export interface AgeRun {
  readonly reference: Reference;
  readonly first: number;
  readonly last: number;
}

/**
 * The ages an interval of completed months can mean, as far as the references go. A completed month is read as that
 * exact age, so they are the whole months in range; an end that is no whole month (an age said as 26.5) counts as it is.
 */
export const ageRuns = (age: Interval): readonly AgeRun[] => {
  const runs: AgeRun[] = [];
  const add = (first: number, last: number) => {
    const reference = referenceAt(first);
    if (reference !== null && first <= last) runs.push({ reference, first, last });
  };
  const wholeFirst = Math.ceil(age.min);
  const wholeLast = Math.floor(age.max);
  if (wholeFirst !== age.min) add(age.min, age.min);
  add(wholeFirst, Math.min(wholeLast, SWITCH_MONTHS - 1));
  add(Math.max(wholeFirst, SWITCH_MONTHS), Math.min(wholeLast, LAST_MONTH['CDC 2000']));
  if (wholeLast !== age.max && age.max !== age.min) add(age.max, age.max);
  return runs;
};

/** Every sex the child may have. */
export const possibleSexes = (sex: Sex | null): readonly Sex[] => (sex === null ? SEXES : [sex]);
