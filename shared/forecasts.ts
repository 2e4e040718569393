import type { Forecast } from './assessment.ts';
import type { RestraintMode } from './case.ts';
import type { ChildFacts, Limit } from './facts.ts';
import { forecastLimit } from './growth/forecast.ts';
import type { GrowthMeasure } from './growth/reference.ts';
import type { Interval, Truth } from './interval.ts';
import { isBelow, isExact } from './interval.ts';
import type { Body } from './judgement.ts';
import { limitsOf } from './mode-fit.ts';
import { parameter } from './parameters/parameters.ts';

const PRETERM_FROM_AGE = parameter('preterm-forecast-from-age');

/** Whether growth can be forecast by the references: false for a young child born before week 37 and with a medical need. */
export const mayBeForecast = ({ age, bornBeforeWeek37, medicalNeeds }: ChildFacts): Truth => {
  if (age === null || medicalNeeds === true) return 'false';
  if (bornBeforeWeek37 === true && isBelow(age.max, PRETERM_FROM_AGE)) return 'false';
  const maybePreterm = bornBeforeWeek37 !== false && isBelow(age.min, PRETERM_FROM_AGE);
  return medicalNeeds === null || maybePreterm ? 'unknown' : 'true';
};

const forecast = (
  facts: ChildFacts,
  mode: RestraintMode,
  limit: GrowthMeasure,
  value: Interval | null,
  max: Limit,
): Forecast[] => {
  const { age, sex, asOf } = facts;
  if (value === null || age === null || max == null) return [];
  const low = forecastLimit({ measure: limit, limit: max.min, value, age, sex, asOf });
  if (isExact(max)) return [{ mode, limit, ...low }];
  const { latest } = forecastLimit({ measure: limit, limit: max.max, value, age, sex, asOf });
  return [{ mode, limit, ...low, latest }];
};

/**
 * When the child will have reached the limits of these modes (rules.md, Growth). Silent about a child known to be outside
 * the references: born before week 37 and possibly still under 24 months, or with a medical need.
 */
export const forecastsFor = (facts: ChildFacts, body: Body, modes: readonly RestraintMode[]): Forecast[] => {
  const { age, bornBeforeWeek37, medicalNeeds } = facts;
  if (age === null || medicalNeeds === true) return [];
  if (bornBeforeWeek37 === true && isBelow(age.min, PRETERM_FROM_AGE)) return [];
  return modes.flatMap((mode) => {
    const { maxWeightKg, maxHeightCm } = limitsOf(facts, mode);
    return [
      ...forecast(facts, mode, 'weight', body.statedWeight, maxWeightKg),
      ...forecast(facts, mode, 'height', body.statedHeight, maxHeightCm),
    ];
  });
};
