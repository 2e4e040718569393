import { plausibleRange } from '#shared/growth/plausible.ts';
import type { Sex } from '#shared/growth/reference.ts';
import { LAST_MONTH, possibleSexes } from '#shared/growth/reference.ts';
import type { Interval } from '#shared/interval.ts';
import { exactly } from '#shared/interval.ts';
import type { Condition, ExactChild, Measure } from './conditions.ts';

export interface ChildFacts {
  /** Completed months. */
  readonly age: Interval | null;
  /** Null where absent: then all that is plausible for the age and sex. */
  readonly weightKg: Interval | null;
  readonly heightCm: Interval | null;
  readonly sex: Sex | null;
}

/** The widest a case can say; nothing in a law table lies beyond. */
const WIDEST: Readonly<Record<Measure, Interval>> = {
  age: { min: 0, max: 1200 },
  weight: { min: 0, max: 500 },
  height: { min: 0, max: 300 },
};

const within = (range: Interval, widest: Interval): Interval => ({
  min: Math.max(range.min, widest.min),
  max: Math.min(range.max, widest.max),
});

type Thresholds = Readonly<Record<Measure, readonly number[]>>;

const thresholdsOf = (conditions: readonly Condition[]): Thresholds => {
  const found: Record<Measure, Set<number>> = { age: new Set(), weight: new Set(), height: new Set() };
  for (const { tests } of conditions) for (const { measure, threshold } of tests) found[measure].add(threshold);
  const sorted = (measure: Measure) => [...found[measure]].sort((a, b) => a - b);
  return { age: sorted('age'), weight: sorted('weight'), height: sorted('height') };
};

/** One value on each side of every threshold and one at it, as far as the range holds them. */
const representatives = (range: Interval, thresholds: readonly number[]): readonly number[] => {
  if (range.min === range.max || thresholds.length === 0) return [range.min];
  const edges = [range.min, ...thresholds.filter((t) => t > range.min && t < range.max), range.max];
  return edges.flatMap((edge, i) => {
    const next = edges[i + 1];
    return next === undefined ? [edge] : [edge, (edge + next) / 2];
  });
};

/** Ages at which a test can turn, tests on age being "under" and "at least" a number of months. */
const turningAges = (age: Interval, thresholds: readonly number[]): readonly number[] => [
  age.min,
  ...thresholds.filter((t) => t > age.min && t <= age.max),
];

/** Every age with limits of its own to what is plausible; those past the growth tables are all alike. */
const everyAge = (age: Interval): readonly number[] => {
  const ages = [age.min];
  for (let month = Math.floor(age.min) + 1; month <= Math.min(age.max, LAST_MONTH['CDC 2000']); month++)
    ages.push(month);
  if (ages.at(-1) !== age.max) ages.push(age.max);
  return ages;
};

/**
 * Completions of the child's facts that stand for all others: any two completions that some test tells apart are
 * represented by different ones. An absent weight or height goes with age and sex, as the growth references have it.
 */
export const completions = (child: ChildFacts, conditions: readonly Condition[]): readonly ExactChild[] => {
  const thresholds = thresholdsOf(conditions);
  const age = within(child.age ?? WIDEST.age, WIDEST.age);
  const guessed =
    child.age !== null &&
    ((child.weightKg === null && thresholds.weight.length > 0) ||
      (child.heightCm === null && thresholds.height.length > 0));
  const found: ExactChild[] = [];
  for (const months of guessed ? everyAge(age) : turningAges(age, thresholds.age))
    for (const sex of guessed ? possibleSexes(child.sex) : [child.sex]) {
      const at = child.age === null ? null : exactly(months);
      const weights = within(child.weightKg ?? plausibleRange('weight', at, sex), WIDEST.weight);
      const heights = within(child.heightCm ?? plausibleRange('height', at, sex), WIDEST.height);
      for (const weight of representatives(weights, thresholds.weight))
        for (const height of representatives(heights, thresholds.height)) found.push({ age: months, weight, height });
    }
  return found;
};
