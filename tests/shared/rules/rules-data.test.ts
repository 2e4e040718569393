import { describe, expect, it } from 'vitest';
import { FACT_SPECS } from '#shared/fact-keys.ts';
import { FINDING_CODES } from '#shared/finding-codes.ts';
import { PARAMETERS } from '#shared/parameters/parameters.ts';
import { SOURCES } from '#shared/parameters/sources.ts';
import { CHILD_RULES, RULES, SEAT_RULES } from '#shared/rules/all-rules.ts';
import { SEAT_FACT_SPECS } from '#shared/seat-facts.ts';

/** Which parameters each rule compares with, read off the table of findings. */
const COMPARED: Readonly<Record<string, readonly string[]>> = {
  'over-limit': [
    'highest-rear-facing-weight',
    'highest-rear-facing-height',
    'highest-harness-weight',
    'highest-harness-height',
  ],
  'forward-facing-too-soon': ['turned-dangerous-under-age', 'turned-too-soon-under-age', 'forward-facing-min-weight'],
  'could-stay-rear-facing': [
    'turned-too-soon-under-age',
    'typical-rear-facing-under-age',
    'typical-rear-facing-max-weight',
    'typical-rear-facing-max-height',
  ],
  'booster-too-soon': ['booster-min-weight', 'booster-min-age', 'booster-dangerous-under-age'],
  'could-stay-harnessed': [
    'booster-min-weight',
    'booster-min-age',
    'harness-advised-under-age',
    'typical-harness-max-weight',
    'typical-harness-max-height',
  ],
  'belt-too-soon': ['belt-min-height', 'belt-min-age', 'belt-any-height-age'],
  'outgrowing-soon': ['small-headroom-weight', 'small-headroom-height', 'near-forecast'],
  'head-clearance-low': ['min-head-clearance'],
  'seat-expires-soon': ['near-expiry'],
  'lower-anchors-over-limit': ['lower-anchor-total-rear-facing', 'lower-anchor-total-forward-facing'],
  'loose-at-belt-path': ['max-movement'],
  'child-in-front': ['rear-seat-under-age'],
  'special-care': ['preterm-care-under-age'],
};

/** Every urgency a finding can have, read off the table of findings: N, V, P. */
const N = 'before-next-trip';
const V = 'at-the-visit';
const P = 'plan-ahead';
const NOW = [
  'unrestrained',
  'mode-not-offered',
  'seat-not-attached',
  'over-limit',
  'under-minimum',
  'seat-expired',
  'seat-crashed',
  'seat-not-certified',
  'rear-facing-at-air-bag',
  'booster-lap-only',
  'side-facing-seat',
];
const NOW_OR_VISIT = ['forward-facing-too-soon', 'booster-too-soon', 'belt-too-soon', 'law-not-met'];
const PLAN = [
  'could-stay-rear-facing',
  'could-stay-harnessed',
  'outgrowing-soon',
  'seat-expires-soon',
  'seat-crash-minor',
  'seat-recall-unchecked',
  'seat-not-registered',
];
const urgenciesOf = (code: string) =>
  NOW.includes(code) ? [N] : NOW_OR_VISIT.includes(code) ? [N, V] : PLAN.includes(code) ? [P] : [V];

describe('the rules as data', () => {
  it('have one rule for every code of the table, in its order', () => {
    expect([...CHILD_RULES, ...SEAT_RULES]).toHaveLength(FINDING_CODES.length);
    expect(FINDING_CODES.filter((code) => !RULES.has(code))).toEqual([]);
    for (const rules of [CHILD_RULES, SEAT_RULES]) {
      const places = rules.map(({ code }) => FINDING_CODES.indexOf(code));
      expect(places).toEqual([...places].sort((a, b) => a - b));
    }
  });

  it.each(FINDING_CODES)('%s states its urgency, its parameters and sources that exist', (code) => {
    const rule = RULES.get(code);
    expect(rule?.urgencies).toEqual(urgenciesOf(code));
    expect(rule?.parameters ?? []).toEqual(COMPARED[code] ?? []);
    expect((rule?.parameters ?? []).filter((id) => !(id in PARAMETERS))).toEqual([]);
    expect((rule?.sources ?? []).filter((id) => !(id in SOURCES))).toEqual([]);
    expect((rule?.sources ?? []).length > 0).toBe(code !== 'law-not-met');
  });

  it.each(CHILD_RULES)('$code reads facts that a case has', ({ reads, steps }) => {
    expect(reads.filter((key) => !(key in FACT_SPECS))).toEqual([]);
    expect(reads.length > 0 || steps !== undefined).toBe(true);
  });

  it.each(SEAT_RULES)('$code reads facts that a seat has', ({ reads }) => {
    expect(reads.filter((key) => !(key in SEAT_FACT_SPECS))).toEqual([]);
    expect(reads).not.toEqual([]);
  });
});
