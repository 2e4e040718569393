import type { SeatRule } from './rule.ts';
import { PLAN, VISIT } from './rule.ts';

/** Where the seat comes from, its recalls and its registration. */
export const SEAT_HISTORY_RULES: readonly SeatRule[] = [
  {
    code: 'seat-history-unknown',
    urgencies: [VISIT],
    sources: ['S-134', 'S-135'],
    reads: ['acquired'],
    when: ({ acquired }) => (acquired === 'unknown-second-hand' ? VISIT : null),
  },
  {
    code: 'seat-recall-open',
    urgencies: [VISIT],
    sources: ['S-039', 'S-134'],
    reads: ['recall'],
    when: ({ recall }) => (recall === 'open' ? VISIT : null),
  },
  {
    code: 'seat-recall-unchecked',
    urgencies: [PLAN],
    sources: ['S-039', 'S-041', 'S-134'],
    reads: ['recall'],
    when: ({ recall }) => (recall === 'unchecked' ? PLAN : null),
  },
  {
    code: 'seat-not-registered',
    urgencies: [PLAN],
    sources: ['S-038', 'S-039', 'S-041'],
    reads: ['registered'],
    when: ({ registered }) => (registered === false ? PLAN : null),
  },
];
