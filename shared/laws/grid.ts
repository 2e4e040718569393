import { plausibleRange } from '#shared/growth/plausible.ts';
import type { Sex } from '#shared/growth/reference.ts';
import { LAST_MONTH, possibleSexes } from '#shared/growth/reference.ts';
import type { Interval } from '#shared/interval.ts';
import { exactly, UNBOUNDED } from '#shared/interval.ts';
import { TOLERANCE } from '#shared/units.ts';
import type { Condition, Measure } from './conditions.ts';
import { holds } from './conditions.ts';

export interface ChildFacts {
  /** Completed months. */
  readonly age: Interval | null;
  /** Null where absent: then all that is plausible for the age and sex. */
  readonly weightKg: Interval | null;
  readonly heightCm: Interval | null;
  readonly sex: Sex | null;
}

/** When a clause comes into play by age, weight and height alone. */
export interface Scope {
  readonly applies: Condition;
  readonly unless: Condition | null;
}

/**
 * The values of one measure as the laws of a jurisdiction see them: cells below, at and above each threshold, numbered
 * upwards. No test tells two values of one cell apart.
 */
interface Axis {
  /** Sorted; months, kg or cm. */
  readonly thresholds: readonly number[];
  /** One value of each cell. */
  readonly samples: readonly number[];
}

/** Which clauses come into play in each cell of age, weight and height: bit i stands for clause i. */
export interface Grid {
  readonly age: Axis;
  readonly weight: Axis;
  readonly height: Axis;
  readonly masks: readonly number[];
}

const axis = (scopes: readonly Scope[], measure: Measure): Axis => {
  const tests = scopes.flatMap(({ applies, unless }) => [...applies.tests, ...(unless?.tests ?? [])]);
  const thresholds = [...new Set(tests.filter((t) => t.measure === measure).map((t) => t.threshold))].sort(
    (a, b) => a - b,
  );
  const between = thresholds.flatMap((t, i) => [((thresholds[i - 1] ?? 0) + t) / 2, t]);
  return { thresholds, samples: [...between, (thresholds.at(-1) ?? 0) + 1] };
};

/** Lays the clauses of a jurisdiction, at most 31 of them, out over the cells its thresholds make. */
export const layOut = (scopes: readonly Scope[]): Grid => {
  const [age, weight, height] = [axis(scopes, 'age'), axis(scopes, 'weight'), axis(scopes, 'height')];
  const masks = age.samples.flatMap((months) =>
    weight.samples.flatMap((kg) =>
      height.samples.map((cm) => {
        const child = { age: months, weight: kg, height: cm };
        return scopes.reduce((mask, { applies, unless }, i) => {
          const counts = holds(applies, child) && !(unless !== null && holds(unless, child));
          return counts ? mask | (1 << i) : mask;
        }, 0);
      }),
    ),
  );
  return { age, weight, height, masks };
};

const cellOf = ({ thresholds }: Axis, value: number): number => {
  const at = thresholds.findIndex((t) => value <= t + TOLERANCE);
  if (at < 0) return 2 * thresholds.length;
  return value < (thresholds[at] as number) - TOLERANCE ? 2 * at : 2 * at + 1;
};

/** Every age with limits of its own to what is plausible; those past the growth tables are all alike. */
const everyAge = (age: Interval): readonly number[] => {
  const ages = [age.min];
  for (let month = Math.floor(age.min) + 1; month <= Math.min(age.max, LAST_MONTH['CDC 2000']); month++)
    ages.push(month);
  if (ages.at(-1) !== age.max) ages.push(age.max);
  return ages;
};

/**
 * The sets of clauses that come into play together in some completion of the child's facts, each set once. An absent
 * weight or height goes with age and sex, as the growth references have it.
 */
export const clauseSets = (grid: Grid, child: ChildFacts): ReadonlySet<number> => {
  const sets = new Set<number>();
  const add = (ages: Interval, weights: Interval, heights: Interval) => {
    const [lastAge, lastWeight, lastHeight] = [
      cellOf(grid.age, ages.max),
      cellOf(grid.weight, weights.max),
      cellOf(grid.height, heights.max),
    ];
    for (let a = cellOf(grid.age, ages.min); a <= lastAge; a++)
      for (let w = cellOf(grid.weight, weights.min); w <= lastWeight; w++)
        for (let h = cellOf(grid.height, heights.min); h <= lastHeight; h++)
          sets.add(grid.masks[(a * grid.weight.samples.length + w) * grid.height.samples.length + h] as number);
  };
  const { age, weightKg, heightCm } = child;
  const guessWeight = weightKg === null && grid.weight.thresholds.length > 0;
  const guessHeight = heightCm === null && grid.height.thresholds.length > 0;
  if (age === null || !(guessWeight || guessHeight)) {
    add(age ?? UNBOUNDED, weightKg ?? UNBOUNDED, heightCm ?? UNBOUNDED);
    return sets;
  }
  for (const months of everyAge(age))
    for (const sex of possibleSexes(child.sex)) {
      const at = exactly(months);
      add(at, weightKg ?? plausibleRange('weight', at, sex), heightCm ?? plausibleRange('height', at, sex));
    }
  return sets;
};
