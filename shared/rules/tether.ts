import type { ChildRule } from './rule.ts';
import { observed, VISIT } from './rule.ts';

/** The top tether of a forward-facing restraint. */
export const TETHER_RULES: readonly ChildRule[] = [
  {
    code: 'tether-not-used',
    urgencies: [VISIT],
    sources: ['S-144', 'S-189'],
    subject: 'use',
    reads: ['mode', 'tether', 'tetherAnchor'],
    when: ({ mode, tether, tetherAnchor }) =>
      mode === 'forward-facing' && tether === 'not-attached' && tetherAnchor !== false ? VISIT : null,
  },
  observed({
    code: 'no-tether-anchor',
    urgency: VISIT,
    sources: ['S-052', 'S-073', 'S-144'],
    fact: 'tetherAnchor',
    wrong: [false],
    modes: ['forward-facing'],
    subject: 'position',
  }),
];
