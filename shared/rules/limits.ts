import type { ModeInUse, RestraintMode } from '#shared/case.ts';
import type { FactKey } from '#shared/fact-keys.ts';
import { limitKey, STEP } from '#shared/fact-keys.ts';
import type { ChildFacts, Limit } from '#shared/facts.ts';
import type { Interval } from '#shared/interval.ts';
import { isAbove, isBelow, surelyBelow } from '#shared/interval.ts';
import type { Judgement } from '#shared/judgement.ts';
import { HIGHEST, limitsOf, MIN_HEAD_CLEARANCE } from '#shared/mode-fit.ts';
import type { Size } from '#shared/possible-sizes.ts';
import type { ChildRule } from './rule.ts';
import { isRestraint, NOW, VISIT } from './rule.ts';

const surelyOver = (value: number, limit: Limit, highest: number): boolean =>
  isAbove(value, highest) || (limit != null && isAbove(value, limit.max));

const isOver = (facts: ChildFacts, mode: RestraintMode, { weightKg, heightCm }: Size): boolean => {
  const { maxWeightKg, maxHeightCm } = limitsOf(facts, mode);
  const highest = HIGHEST[mode];
  return surelyOver(weightKg, maxWeightKg, highest.weightKg) || surelyOver(heightCm, maxHeightCm, highest.heightCm);
};

const surelyUnder = (value: number, limit: Limit): boolean => limit != null && isBelow(value, limit.min);

const isUnder = (facts: ChildFacts, mode: RestraintMode, { weightKg, heightCm, ageMonths }: Size): boolean => {
  const { minWeightKg, minHeightCm, minAgeMonths } = limitsOf(facts, mode);
  return (
    surelyUnder(weightKg, minWeightKg) || surelyUnder(heightCm, minHeightCm) || surelyUnder(ageMonths, minAgeMonths)
  );
};

const whenRestrained = (mode: ModeInUse | null, test: (mode: RestraintMode) => boolean) =>
  isRestraint(mode) && test(mode) ? NOW : null;

interface Breach {
  /** It holds whatever the child's size within its range is. */
  readonly certain: boolean;
  readonly facts: readonly FactKey[];
}

/** Facts of the breaches that are certain; where only all together are, of all of them. */
const named = (breaches: readonly (Breach | null)[]): readonly FactKey[] => {
  const found = breaches.filter((breach) => breach !== null);
  const certain = found.filter((breach) => breach.certain);
  return (certain.length > 0 ? certain : found).flatMap(({ facts }) => facts);
};

/** The measure, and what it passed: the label's limit, or else the highest sold for the mode. */
const over = (fact: FactKey, value: Interval, max: Limit, highest: number, name: FactKey): Breach | null =>
  surelyOver(value.max, max, highest)
    ? {
        certain: surelyOver(value.min, max, highest),
        facts: [fact, max != null && isAbove(value.max, max.max) ? name : 'mode'],
      }
    : null;

const under = (fact: FactKey, value: Interval, min: Limit, name: FactKey): Breach | null =>
  surelyUnder(value.min, min) ? { certain: surelyUnder(value.max, min), facts: [fact, name] } : null;

const overBecause = (facts: ChildFacts, { body }: Judgement): readonly FactKey[] => {
  const { mode } = facts;
  if (!isRestraint(mode)) return [];
  const { maxWeightKg, maxHeightCm } = limitsOf(facts, mode);
  const { weightKg, heightCm } = HIGHEST[mode];
  return named([
    over('weight', body.weight, maxWeightKg, weightKg, limitKey(mode, 'maxWeightKg')),
    over('height', body.height, maxHeightCm, heightCm, limitKey(mode, 'maxHeightCm')),
  ]);
};

const underBecause = (facts: ChildFacts, { body }: Judgement): readonly FactKey[] => {
  const { mode } = facts;
  if (!isRestraint(mode)) return [];
  const { minWeightKg, minHeightCm, minAgeMonths } = limitsOf(facts, mode);
  return named([
    under('weight', body.weight, minWeightKg, limitKey(mode, 'minWeightKg')),
    under('height', body.height, minHeightCm, limitKey(mode, 'minHeightCm')),
    under('age', body.age, minAgeMonths, limitKey(mode, 'minAgeMonths')),
  ]);
};

/** The child against the limits of the mode in use, by the label and by what is sold at all. */
export const LIMIT_RULES: readonly ChildRule[] = [
  {
    code: 'over-limit',
    urgencies: [NOW],
    sources: ['S-022', 'S-025', 'S-151'],
    parameters: [
      'highest-rear-facing-weight',
      'highest-rear-facing-height',
      'highest-harness-weight',
      'highest-harness-height',
    ],
    subject: 'use',
    reads: ['mode'],
    steps: STEP.fit,
    when: (facts, { body }) =>
      whenRestrained(facts.mode, (mode) => body.sizes.every((size) => isOver(facts, mode, size))),
    because: overBecause,
  },
  {
    code: 'under-minimum',
    urgencies: [NOW],
    sources: ['S-020', 'S-022', 'S-025'],
    subject: 'use',
    reads: ['mode'],
    steps: STEP.fit,
    when: (facts, { body }) =>
      whenRestrained(facts.mode, (mode) => body.sizes.every((size) => isUnder(facts, mode, size))),
    because: underBecause,
  },
  {
    code: 'head-clearance-low',
    urgencies: [VISIT],
    sources: ['S-181'],
    parameters: ['min-head-clearance'],
    subject: 'use',
    reads: ['mode', 'headClearance'],
    when: ({ mode, headClearance }) =>
      mode === 'rear-facing' && headClearance !== null && surelyBelow(headClearance, MIN_HEAD_CLEARANCE) ? VISIT : null,
  },
];
