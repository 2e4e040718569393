import { limitKey, STEP } from '#shared/fact-keys.ts';
import type { ChildFacts, Limit } from '#shared/facts.ts';
import { mayBeForecast } from '#shared/forecasts.ts';
import { isLikelyWithin } from '#shared/growth/forecast.ts';
import type { GrowthMeasure, Sex } from '#shared/growth/reference.ts';
import { ageRuns, LAST_MONTH, possibleSexes } from '#shared/growth/reference.ts';
import type { Interval } from '#shared/interval.ts';
import { isAbove } from '#shared/interval.ts';
import type { Judgement } from '#shared/judgement.ts';
import { FIT, HIGHEST, headroom, limitsOf } from '#shared/mode-fit.ts';
import { parameter } from '#shared/parameters/parameters.ts';
import type { ChildRule } from './rule.ts';
import { isRestraint, PLAN } from './rule.ts';

const SMALL = { weight: parameter('small-headroom-weight'), height: parameter('small-headroom-height') };
const NEAR_MONTHS = parameter('near-forecast');

/** Little headroom whatever the child's size within its range: the smallest has the most. */
const isTight = (room: Interval | null, measure: GrowthMeasure): boolean =>
  room !== null && !isAbove(room.max, SMALL[measure]);

/** The limit is likely reached within the near months by the smallest child of this exact age and sex. */
const isNear = (measure: GrowthMeasure, stated: Interval | null, max: Limit, ageMonths: number, sex: Sex): boolean =>
  stated !== null && max != null && isLikelyWithin(measure, max.max, stated.min, ageMonths, sex, NEAR_MONTHS);

/** Near for every age and sex the child may have, by weight or by height. */
const isNearForAll = (facts: ChildFacts, { body }: Judgement, maxWeight: Limit, maxHeight: Limit): boolean => {
  const { age } = facts;
  if (age === null || age.max > LAST_MONTH['CDC 2000'] || mayBeForecast(facts) !== 'true') return false;
  if ((body.statedWeight === null || maxWeight == null) && (body.statedHeight === null || maxHeight == null))
    return false;
  for (const { first, last } of ageRuns(age))
    for (let months = first; months <= last; months++)
      for (const sex of possibleSexes(facts.sex))
        if (
          !isNear('weight', body.statedWeight, maxWeight, months, sex) &&
          !isNear('height', body.statedHeight, maxHeight, months, sex)
        )
          return false;
  return true;
};

/** The mode in use fits, but not for long. */
export const OUTGROWING_RULES: readonly ChildRule[] = [
  {
    code: 'outgrowing-soon',
    urgencies: [PLAN],
    sources: ['S-151', 'WHO-2006', 'CDC-2000', 'GROWTH-SPREAD'],
    parameters: ['small-headroom-weight', 'small-headroom-height', 'near-forecast'],
    subject: 'use',
    reads: ['mode', 'bornBeforeWeek37', 'medicalNeeds'],
    steps: STEP.fit,
    when: (facts, judgement) => {
      const { mode } = facts;
      if (!isRestraint(mode) || judgement.fit[mode] !== FIT.fits) return null;
      const { maxWeightKg, maxHeightCm } = limitsOf(facts, mode);
      const { body } = judgement;
      const tight =
        isTight(headroom(body.weight, maxWeightKg, HIGHEST[mode].weightKg), 'weight') ||
        isTight(headroom(body.height, maxHeightCm, HIGHEST[mode].heightCm), 'height');
      return tight || isNearForAll(facts, judgement, maxWeightKg, maxHeightCm) ? PLAN : null;
    },
    because: ({ mode }) =>
      isRestraint(mode) ? ['weight', 'height', limitKey(mode, 'maxWeightKg'), limitKey(mode, 'maxHeightCm')] : [],
  },
];
