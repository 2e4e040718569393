import { STEP } from '#shared/fact-keys.ts';
import { isBelow } from '#shared/interval.ts';
import { parameter } from '#shared/parameters/parameters.ts';
import type { ChildRule } from './rule.ts';
import { BELTED, NOW, observed, VISIT } from './rule.ts';

const REAR_SEAT_UNDER = parameter('rear-seat-under-age');

/** Where in the vehicle the child rides. */
export const POSITION_RULES: readonly ChildRule[] = [
  observed({
    code: 'rear-facing-at-air-bag',
    urgency: NOW,
    sources: ['S-027', 'S-096'],
    fact: 'frontAirBag',
    wrong: ['active'],
    modes: ['rear-facing'],
    subject: 'position',
  }),
  {
    code: 'child-in-front',
    urgencies: [VISIT],
    sources: ['S-097', 'S-142', 'S-157'],
    parameters: ['rear-seat-under-age'],
    subject: 'position',
    reads: ['row', 'age'],
    steps: STEP.size,
    when: ({ row, rows }, { body }) =>
      row === 1 && isBelow(body.age.max, REAR_SEAT_UNDER) && rows.some((other) => other !== null && other > 1)
        ? VISIT
        : null,
  },
  observed({
    code: 'booster-lap-only',
    urgency: NOW,
    sources: ['S-003', 'S-090', 'S-156'],
    fact: 'belt',
    wrong: ['lap-only'],
    modes: BELTED,
    subject: 'position',
  }),
  {
    code: 'side-facing-seat',
    urgencies: [NOW],
    sources: ['S-064', 'S-204'],
    subject: 'position',
    reads: ['facing'],
    when: ({ facing }) => (facing === 'side' || facing === 'rear' ? NOW : null),
  },
  {
    code: 'inflatable-belt',
    urgencies: [VISIT],
    sources: ['S-202'],
    subject: 'position',
    reads: ['belt'],
    when: ({ belt }) => (belt === 'inflatable' ? VISIT : null),
  },
];
