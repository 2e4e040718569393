import { STEP } from '#shared/fact-keys.ts';
import { FIT } from '#shared/mode-fit.ts';
import type { ChildRule } from './rule.ts';
import { isHarnessed, isRestraint, NOW } from './rule.ts';

/** How the child rides at all: in no restraint, in a mode the seat does not have, in a seat fixed to nothing. */
export const RIDING_MODE_RULES: readonly ChildRule[] = [
  {
    code: 'unrestrained',
    urgencies: [NOW],
    sources: ['S-156', 'S-170'],
    subject: 'child',
    reads: ['mode'],
    when: ({ mode }) => (mode === 'none' || mode === 'lap-held' ? NOW : null),
  },
  {
    code: 'mode-not-offered',
    urgencies: [NOW],
    sources: ['S-002', 'S-022'],
    subject: 'use',
    reads: ['mode', 'kind'],
    steps: STEP.fit,
    when: ({ mode, seatId }, { fit }) =>
      seatId !== null && isRestraint(mode) && fit[mode] === FIT.notOffered ? NOW : null,
  },
  {
    code: 'seat-not-attached',
    urgencies: [NOW],
    sources: ['S-185', 'S-188'],
    subject: 'use',
    reads: ['mode', 'attachment'],
    when: ({ mode, attachment }) => (isHarnessed(mode) && attachment === 'none' ? NOW : null),
  },
];
