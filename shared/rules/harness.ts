import type { ChildRule } from './rule.ts';
import { HARNESSED, observed, VISIT } from './rule.ts';

/** The recline of the shell and the harness on the child. */
export const HARNESS_RULES: readonly ChildRule[] = [
  observed({
    code: 'recline-off',
    urgency: VISIT,
    sources: ['S-184'],
    fact: 'recline',
    wrong: ['too-upright', 'too-reclined'],
    modes: ['rear-facing'],
  }),
  {
    code: 'straps-at-wrong-height',
    urgencies: [VISIT],
    sources: ['S-179', 'S-180'],
    subject: 'use',
    reads: ['mode', 'straps'],
    when: ({ mode, straps }) =>
      (mode === 'rear-facing' && straps === 'above') || (mode === 'forward-facing' && straps === 'below')
        ? VISIT
        : null,
  },
  observed({
    code: 'harness-loose',
    urgency: VISIT,
    sources: ['S-177'],
    fact: 'pinchable',
    wrong: [true],
    modes: HARNESSED,
  }),
  observed({
    code: 'chest-clip-off',
    urgency: VISIT,
    sources: ['S-178'],
    fact: 'chestClip',
    wrong: ['low', 'high'],
    modes: HARNESSED,
  }),
  observed({
    code: 'bulky-clothing',
    urgency: VISIT,
    sources: ['S-168', 'S-201'],
    fact: 'bulkyClothing',
    wrong: [true],
    modes: HARNESSED,
  }),
  observed({
    code: 'insert-to-remove',
    urgency: VISIT,
    sources: ['S-200'],
    fact: 'infantInsert',
    wrong: [true],
    modes: ['forward-facing'],
  }),
  observed({
    code: 'add-on-product',
    urgency: VISIT,
    sources: ['S-200'],
    fact: 'addOnProduct',
    wrong: [true],
    modes: ['rear-facing', 'forward-facing', 'booster'],
  }),
];
