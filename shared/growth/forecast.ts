import type { Interval } from '#shared/interval.ts';
import { TOLERANCE } from '#shared/units.ts';
import type { AgeRun, GrowthMeasure, Sex } from './reference.ts';
import { ageRuns, LAST_MONTH, possibleSexes, referenceAt } from './reference.ts';
import { lmsAt } from './tables.ts';
import { plainZ } from './z-score.ts';

/** How far ahead a forecast looks, in whole months. */
export const HORIZON_MONTHS = 60;

/** z at which the normal distribution reaches 10 %; 90 % is its opposite and 50 % is 0. */
const Z_TENTH = -1.2815515655446004;

/** Spread of z around its regression on an earlier z: scale · years ahead^ahead · age in years^age, capped. */
const SPREAD = {
  weight: { scale: 0.58, ahead: 0.33, age: -0.3 },
  height: { scale: 0.58, ahead: 0.2, age: -0.25 },
} as const;
const SPREAD_CAP = 0.95;
const SPREAD_YEARS = { min: 0.5, max: 7 } as const;

/** The part of the spread that depends on the age at the measurement, held to 0.5 to 7 years. */
const spreadAt = (measure: GrowthMeasure, ageMonths: number): number => {
  const { scale, age } = SPREAD[measure];
  return scale * Math.min(Math.max(ageMonths / 12, SPREAD_YEARS.min), SPREAD_YEARS.max) ** age;
};

/** The part that depends on the months ahead. */
const spreadGrowth = (measure: GrowthMeasure): readonly number[] =>
  Array.from({ length: HORIZON_MONTHS + 1 }, (_, ahead) => (ahead / 12) ** SPREAD[measure].ahead);

const SPREAD_GROWTH = { weight: spreadGrowth('weight'), height: spreadGrowth('height') } as const;

/** Spread s of z whole `monthsAhead` (0 to 60) after a measurement at an age in months; r = √(1 − s²). */
export const spread = (measure: GrowthMeasure, ageMonths: number, monthsAhead: number): number =>
  Math.min(SPREAD_CAP, spreadAt(measure, ageMonths) * (SPREAD_GROWTH[measure][monthsAhead] as number));

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

/** Plain z of the limit by months since the first age of a run, worked out when first asked for; infinite past the table. */
const limitCurve = (run: AgeRun, sex: Sex, { measure, limit }: ForecastInput): ((month: number) => number) => {
  const last = LAST_MONTH[run.reference];
  const known: number[] = [];
  return (month) => {
    const age = run.first + month;
    if (age > last) return NEVER;
    const z = known[month] ?? plainZ(lmsAt(run.reference, measure, sex, age), limit);
    known[month] = z;
    return z;
  };
};

/** Widens `found` by one sex and age: the heaviest or tallest child is the earliest, the smallest the latest. */
const widen = (
  found: MonthsAhead,
  input: ForecastInput,
  run: AgeRun,
  sex: Sex,
  limitZ: (month: number) => number,
  at: number,
) => {
  const { measure, value } = input;
  const age = run.first + at;
  const lms = lmsAt(run.reference, measure, sex, age);
  const zMost = plainZ(lms, value.max);
  const zLeast = value.min === value.max ? zMost : plainZ(lms, value.min);
  const spreadNow = spreadAt(measure, age);
  let latest = NEVER;
  for (let ahead = 1; ahead <= HORIZON_MONTHS && latest === NEVER; ahead++) {
    const s = Math.min(SPREAD_CAP, spreadNow * (SPREAD_GROWTH[measure][ahead] as number));
    const r = Math.sqrt(1 - s * s);
    const zLimit = limitZ(at + ahead);
    if (zLimit === NEVER) break;
    if (ahead < found.earliest && Math.max(zMost, r * zMost) - zLimit >= Z_TENTH * s) found.earliest = ahead;
    if (ahead < found.likely && r * zMost - zLimit >= 0) found.likely = ahead;
    if (r * zLeast - zLimit >= -Z_TENTH * s) latest = ahead;
  }
  found.latest = Math.max(found.latest, latest);
};

/**
 * Whether the likely month of reaching a limit lies at most `within` months ahead, for an exact value (kg or cm), age
 * (completed months) and sex: what `forecastLimit` says, without looking further ahead.
 */
export const isLikelyWithin = (
  measure: GrowthMeasure,
  limit: number,
  value: number,
  ageMonths: number,
  sex: Sex,
  within: number,
): boolean => {
  if (value > limit + TOLERANCE) return true;
  const reference = referenceAt(ageMonths);
  if (reference === null) return false;
  const z = plainZ(lmsAt(reference, measure, sex, ageMonths), value);
  const spreadNow = spreadAt(measure, ageMonths);
  for (let ahead = 1; ahead <= within && ageMonths + ahead <= LAST_MONTH[reference]; ahead++) {
    const s = Math.min(SPREAD_CAP, spreadNow * (SPREAD_GROWTH[measure][ahead] as number));
    if (Math.sqrt(1 - s * s) * z >= plainZ(lmsAt(reference, measure, sex, ageMonths + ahead), limit)) return true;
  }
  return false;
};

const yearMonth = (asOf: string, ahead: number): string | null => {
  if (ahead === NEVER) return null;
  const months = Number(asOf.slice(0, 4)) * 12 + Number(asOf.slice(5, 7)) - 1 + ahead;
  return `${Math.floor(months / 12)}-${String((months % 12) + 1).padStart(2, '0')}`;
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
        const limitZ = limitCurve(run, each, input);
        for (let at = 0; run.first + at <= run.last; at++) widen(found, input, run, each, limitZ, at);
      }
    if (age.max > LAST_MONTH['CDC 2000']) found.latest = NEVER;
  }
  if (value.max > limit + TOLERANCE) {
    found.earliest = 0;
    found.likely = 0;
  }
  return {
    earliest: yearMonth(asOf, found.earliest),
    likely: yearMonth(asOf, found.likely),
    latest: yearMonth(asOf, found.latest),
  };
};
