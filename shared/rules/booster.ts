import { boosterMinimaMissed, hasMode } from '#shared/advice.ts';
import type { FactKey } from '#shared/fact-keys.ts';
import { STEP } from '#shared/fact-keys.ts';
import { isBelow } from '#shared/interval.ts';
import { FIT } from '#shared/mode-fit.ts';
import { parameter } from '#shared/parameters/parameters.ts';
import type { ChildRule } from './rule.ts';
import { NOW, PLAN, VISIT } from './rule.ts';

const DANGEROUS_UNDER = parameter('booster-dangerous-under-age');
const MIN_AGE = parameter('booster-min-age');
const MIN_WEIGHT = parameter('booster-min-weight');

const isOne = (set: number): boolean => (set & (set - 1)) === 0;

/** Children in a booster although a harness would serve them longer. */
export const BOOSTER_RULES: readonly ChildRule[] = [
  {
    code: 'booster-too-soon',
    urgencies: [NOW, VISIT],
    sources: ['S-018', 'S-019', 'S-153', 'S-199'],
    parameters: ['booster-min-weight', 'booster-min-age', 'booster-dangerous-under-age'],
    subject: 'use',
    reads: ['mode', 'ridesUpright'],
    steps: STEP.size,
    when: (facts, { body }) => {
      if (facts.mode !== 'booster') return null;
      if (!body.sizes.every((size) => boosterMinimaMissed(facts, size))) return null;
      return isBelow(body.age.max, DANGEROUS_UNDER) ? NOW : VISIT;
    },
    because: ({ ridesUpright }, { body }) => {
      const found: FactKey[] = ['mode'];
      if (isBelow(body.weight.min, MIN_WEIGHT)) found.push('weight');
      if (isBelow(body.age.min, MIN_AGE)) found.push('age');
      if (ridesUpright === false) found.push('ridesUpright');
      return found;
    },
  },
  {
    code: 'could-stay-harnessed',
    urgencies: [PLAN],
    sources: ['S-153', 'S-158', 'S-161'],
    parameters: [
      'booster-min-weight',
      'booster-min-age',
      'harness-advised-under-age',
      'typical-harness-max-weight',
      'typical-harness-max-height',
    ],
    subject: 'use',
    reads: ['mode', 'ridesUpright'],
    steps: STEP.fit | STEP.advice,
    when: (facts, { body, fits, advices }) => {
      if (facts.mode !== 'booster') return null;
      const holds = body.sizes.every((size, i) => {
        if (boosterMinimaMissed(facts, size)) return false;
        const modes = advices[i]?.modes ?? 0;
        return fits[i]?.['forward-facing'] === FIT.fits || (hasMode(modes, 'forward-facing') && isOne(modes));
      });
      return holds ? PLAN : null;
    },
    because: () => ['mode', 'age', 'weight', 'height', 'forward-facing.maxWeightKg', 'forward-facing.maxHeightCm'],
  },
];
