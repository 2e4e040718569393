import { mayRideRearFacingElsewhere } from '#shared/advice.ts';
import { STEP } from '#shared/fact-keys.ts';
import type { ChildFacts } from '#shared/facts.ts';
import { isBelow } from '#shared/interval.ts';
import { FIT } from '#shared/mode-fit.ts';
import { parameter } from '#shared/parameters/parameters.ts';
import type { ChildRule } from './rule.ts';
import { NOW, PLAN, VISIT } from './rule.ts';

const DANGEROUS_UNDER = parameter('turned-dangerous-under-age');
const TOO_SOON_UNDER = parameter('turned-too-soon-under-age');
const MIN_WEIGHT = parameter('forward-facing-min-weight');

const labelMinimumKnown = ({ seatId, limits }: ChildFacts): boolean =>
  seatId !== null && limits['forward-facing']?.minWeightKg != null;

/** Children turned forward-facing although rear-facing would serve them longer. */
export const FORWARD_FACING_RULES: readonly ChildRule[] = [
  {
    code: 'forward-facing-too-soon',
    urgencies: [NOW, VISIT],
    sources: ['S-016', 'S-017', 'S-138', 'S-139', 'S-151'],
    parameters: ['turned-dangerous-under-age', 'turned-too-soon-under-age', 'forward-facing-min-weight'],
    subject: 'use',
    reads: ['mode', 'seatId', 'forward-facing.minWeightKg'],
    steps: STEP.size,
    when: (facts, { body }) => {
      if (facts.mode !== 'forward-facing') return null;
      const byWeight = !labelMinimumKnown(facts);
      const tooSoon = body.sizes.every(
        ({ ageMonths, weightKg }) => isBelow(ageMonths, TOO_SOON_UNDER) || (byWeight && isBelow(weightKg, MIN_WEIGHT)),
      );
      if (!tooSoon) return null;
      return isBelow(body.age.max, DANGEROUS_UNDER) ? NOW : VISIT;
    },
    because: (_, { body }) => [
      'mode',
      ...(isBelow(body.age.min, TOO_SOON_UNDER) ? (['age'] as const) : []),
      ...(isBelow(body.age.max, TOO_SOON_UNDER) ? [] : (['weight'] as const)),
    ],
  },
  {
    code: 'could-stay-rear-facing',
    urgencies: [PLAN],
    sources: ['S-151', 'S-158', 'S-160'],
    parameters: [
      'turned-too-soon-under-age',
      'typical-rear-facing-under-age',
      'typical-rear-facing-max-weight',
      'typical-rear-facing-max-height',
    ],
    subject: 'use',
    reads: ['mode'],
    steps: STEP.fit,
    when: (facts, { body, fits }) => {
      if (facts.mode !== 'forward-facing' || isBelow(body.age.min, TOO_SOON_UNDER)) return null;
      const holds = body.sizes.every((size, i) => {
        const rear = fits[i]?.['rear-facing'];
        return rear === FIT.fits || (rear === FIT.notOffered && mayRideRearFacingElsewhere(size));
      });
      return holds ? PLAN : null;
    },
    because: () => ['mode', 'age', 'weight', 'height', 'rear-facing.maxWeightKg', 'rear-facing.maxHeightCm'],
  },
];
