import { addMonths } from '#shared/dates.ts';
import type { Interval } from '#shared/interval.ts';
import { TOLERANCE } from '#shared/units.ts';
import type { AgeRun, GrowthMeasure, Sex } from './reference.ts';
import { ageRuns, LAST_MONTH, possibleSexes } from './reference.ts';
import { lmsAt } from './tables.ts';
import { referenceZ } from './z-score.ts';

/** How far ahead a forecast looks, in whole months. */
export const HORIZON_MONTHS = 60;

/** z at which the normal distribution reaches 10 %; 90 % is its opposite and 50 % is 0. */
const Z_TENTH = -1.2815515655446004;

/** Spread of the later z around its regression on the earlier: s = scale · years ahead^ahead · age in years^age, capped. */
const SPREAD = {
  weight: { scale: 0.58, ahead: 0.33, age: -0.3 },
  height: { scale: 0.58, ahead: 0.2, age: -0.25 },
  cap: 0.95,
  ageYears: { min: 0.5, max: 7 },
} as const;

/** Spread s of z `monthsAhead` after a measurement at an age (months, held to 0.5 to 7 years); r = √(1 − s²). */
export const spread = (measure: GrowthMeasure, ageMonths: number, monthsAhead: number): number => {
  const { scale, ahead, age } = SPREAD[measure];
  const years = Math.min(Math.max(ageMonths / 12, SPREAD.ageYears.min), SPREAD.ageYears.max);
  return Math.min(SPREAD.cap, scale * (monthsAhead / 12) ** ahead * years ** age);
};

export interface ForecastInput {
  readonly measure: GrowthMeasure;
  /** kg or cm; a child exactly at it has not passed it. */
  readonly limit: number;
  readonly value: Interval;
  /** Completed months. */
  readonly age: Interval;
  readonly sex: Sex | null;
  /** The day of the measurement, a full date. */
  readonly asOf: string;
}

/** Year and month at which the limit is reached: as early as (10 %), likely (50 %), as late as (90 %). */
export interface LimitForecast {
  readonly earliest: string | null;
  readonly likely: string | null;
  readonly latest: string | null;
}

/** Months ahead; infinite past the horizon or the table. */
interface MonthsAhead {
  earliest: number;
  likely: number;
  latest: number;
}

const NEVER = Number.POSITIVE_INFINITY;

/** z of the limit at every age from the first of a run to the last age its children are forecast to. */
const limitCurve = (run: AgeRun, sex: Sex, { measure, limit }: ForecastInput): readonly number[] => {
  const end = Math.min(run.last + HORIZON_MONTHS, LAST_MONTH[run.reference]);
  const curve: number[] = [];
  for (let age = run.first; age <= end; age++)
    curve.push(referenceZ(run.reference, measure, lmsAt(run.reference, measure, sex, age), limit));
  return curve;
};

/** Widens `found` by one sex and age: the heaviest or tallest child is the earliest, the smallest the latest. */
const widen = (
  found: MonthsAhead,
  input: ForecastInput,
  run: AgeRun,
  sex: Sex,
  curve: readonly number[],
  at: number,
) => {
  const { measure, value } = input;
  const age = run.first + at;
  const lms = lmsAt(run.reference, measure, sex, age);
  const zMost = referenceZ(run.reference, measure, lms, value.max);
  const zLeast = referenceZ(run.reference, measure, lms, value.min);
  let latest = NEVER;
  for (let ahead = 1; ahead <= HORIZON_MONTHS && at + ahead < curve.length; ahead++) {
    const s = spread(measure, age, ahead);
    const r = Math.sqrt(1 - s * s);
    const zLimit = curve[at + ahead] as number;
    if (Math.max(zMost, r * zMost) - zLimit >= Z_TENTH * s) found.earliest = Math.min(found.earliest, ahead);
    if (r * zMost - zLimit >= 0) found.likely = Math.min(found.likely, ahead);
    if (r * zLeast - zLimit >= -Z_TENTH * s) {
      latest = ahead;
      break;
    }
  }
  found.latest = Math.max(found.latest, latest);
};

/**
 * When a child will have reached a limit, by the published spread of growth (rules.md, Growth). Over ranges and an absent
 * sex: the earliest of the earliest, the earliest likely, the latest of the latest. A limit already passed: the month of
 * `asOf`. Null past 60 months ahead or past the table; a child measured under 24 months stays on the WHO table.
 */
export const forecastLimit = (input: ForecastInput): LimitForecast => {
  const { limit, value, age, sex, asOf } = input;
  const found: MonthsAhead = { earliest: NEVER, likely: NEVER, latest: 0 };
  if (value.min <= limit + TOLERANCE) {
    for (const run of ageRuns(age))
      for (const each of possibleSexes(sex)) {
        const curve = limitCurve(run, each, input);
        for (let at = 0; run.first + at <= run.last; at++) widen(found, input, run, each, curve, at);
      }
    if (age.max > LAST_MONTH['CDC 2000']) found.latest = NEVER;
  }
  if (value.max > limit + TOLERANCE) {
    found.earliest = 0;
    found.likely = 0;
  }
  const month = (ahead: number) => (ahead === NEVER ? null : addMonths(asOf, ahead).slice(0, 7));
  return { earliest: month(found.earliest), likely: month(found.likely), latest: month(found.latest) };
};
