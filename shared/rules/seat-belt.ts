import { STEP } from '#shared/fact-keys.ts';
import { isBelow } from '#shared/interval.ts';
import { parameter } from '#shared/parameters/parameters.ts';
import type { ChildRule } from './rule.ts';
import { BELTED, NOW, VISIT } from './rule.ts';

const MIN_HEIGHT = parameter('belt-min-height');
const MIN_AGE = parameter('belt-min-age');
const ANY_HEIGHT_AGE = parameter('belt-any-height-age');
const POOR_SHOULDER = ['neck', 'off-shoulder', 'behind-back', 'under-arm'];

/** The vehicle's belt on the child: too soon without a booster, or lying wrongly. */
export const SEAT_BELT_RULES: readonly ChildRule[] = [
  {
    code: 'belt-too-soon',
    urgencies: [NOW, VISIT],
    sources: ['S-154', 'S-155'],
    parameters: ['belt-min-height', 'belt-min-age', 'belt-any-height-age'],
    subject: 'use',
    reads: ['mode'],
    steps: STEP.size,
    when: ({ mode }, { body }) => {
      if (mode !== 'seat-belt' || !isBelow(body.age.max, ANY_HEIGHT_AGE)) return null;
      const tooShort = isBelow(body.height.max, MIN_HEIGHT);
      const tooYoung = isBelow(body.age.max, MIN_AGE);
      if (tooShort && tooYoung) return NOW;
      const tooSoon = body.sizes.every(
        ({ ageMonths, heightCm }) => isBelow(ageMonths, MIN_AGE) || isBelow(heightCm, MIN_HEIGHT),
      );
      return tooSoon ? VISIT : null;
    },
    because: (_, { body }) => ['mode', 'age', ...(isBelow(body.height.min, MIN_HEIGHT) ? (['height'] as const) : [])],
  },
  {
    code: 'belt-fit-poor',
    urgencies: [VISIT],
    sources: ['S-195', 'S-197'],
    subject: 'use',
    reads: ['mode', 'lapBelt', 'shoulderBelt'],
    when: ({ mode, lapBelt, shoulderBelt }) =>
      mode !== null && BELTED.includes(mode) && (lapBelt === 'belly' || POOR_SHOULDER.includes(shoulderBelt ?? ''))
        ? VISIT
        : null,
    because: ({ lapBelt, shoulderBelt }) => [
      'mode',
      ...(lapBelt === 'belly' ? (['lapBelt'] as const) : []),
      ...(POOR_SHOULDER.includes(shoulderBelt ?? '') ? (['shoulderBelt'] as const) : []),
    ],
  },
];
