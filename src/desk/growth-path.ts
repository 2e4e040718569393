import { spread } from '#shared/growth/forecast.ts';
import { ageRuns, type GrowthMeasure, LAST_MONTH, possibleSexes, type Sex } from '#shared/growth/reference.ts';
import { type Lms, lmsAt } from '#shared/growth/tables.ts';
import { plainZ, valueAtZ } from '#shared/growth/z-score.ts';
import type { Interval } from '#shared/interval.ts';

/** z at which the normal distribution reaches 90 %. */
const Z_NINE_TENTHS = 1.2815515655446004;

/** Where a child's weight (kg) or height (cm) may be some whole months from now: 8 of 10 children between low and high. */
export interface PathPoint {
  readonly ahead: number;
  readonly low: number;
  readonly likely: number;
  readonly high: number;
}

export interface PathInput {
  readonly measure: GrowthMeasure;
  readonly value: Interval;
  /** Completed months. */
  readonly age: Interval;
  readonly sex: Sex | null;
}

/** The value at a z; where a skewed table has none, the end it runs into. */
const at = (lms: Lms, z: number): number => {
  const value = valueAtZ(lms, z);
  return Number.isNaN(value) ? (z > 0 ? Number.POSITIVE_INFINITY : 0) : value;
};

/**
 * The path that `forecastLimit` reads its months from (rules.md, Growth): a limit is reached at the earliest where
 * `high` meets it, likely where `likely` does, at the latest where `low` does. Over ranges and an absent sex the widest
 * of each. It ends with the table; empty where the age is in none.
 */
export function growthPath({ measure, value, age, sex }: PathInput, months: number): readonly PathPoint[] {
  const starts = ageRuns(age).flatMap((run) =>
    possibleSexes(sex).flatMap((each) =>
      Array.from({ length: Math.floor(run.last - run.first) + 1 }, (_, i) => ({ run, each, from: run.first + i })),
    ),
  );
  if (starts.length === 0) return [];
  const path: PathPoint[] = [{ ahead: 0, low: value.min, likely: value.max, high: value.max }];
  for (let ahead = 1; ahead <= months; ahead++) {
    if (starts.some(({ run, from }) => from + ahead > LAST_MONTH[run.reference])) break;
    const points = starts.map(({ run, each, from }) => {
      const [now, then] = [
        lmsAt(run.reference, measure, each, from),
        lmsAt(run.reference, measure, each, from + ahead),
      ];
      const [most, least] = [plainZ(now, value.max), plainZ(now, value.min)];
      const s = spread(measure, from, ahead);
      const r = Math.sqrt(1 - s * s);
      return {
        low: at(then, r * least - Z_NINE_TENTHS * s),
        likely: at(then, r * most),
        high: at(then, Math.max(most, r * most) + Z_NINE_TENTHS * s),
      };
    });
    path.push({
      ahead,
      low: Math.min(...points.map(({ low }) => low)),
      likely: Math.max(...points.map(({ likely }) => likely)),
      high: Math.max(...points.map(({ high }) => high)),
    });
  }
  return path;
}
