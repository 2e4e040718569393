import { describe, expect, test } from 'vitest';
import { exactly } from '#shared/interval.ts';
import type { LawFact } from '#shared/laws/facts.ts';
import type { LawInput } from '#shared/laws/judge.ts';
import { judgeLaw } from '#shared/laws/judge.ts';
import { JURISDICTION_CODES } from '#shared/laws/jurisdictions.ts';
import { DUTIES } from '#shared/laws/law-table.ts';
import us from '#shared/laws/us.json' with { type: 'json' };
import { inToCm, lbToKg } from '#shared/units.ts';
import examples from './us-law-examples.json' with { type: 'json' };

// Examples drawn from the statutes, acts and official pages each record names under `sources`.

interface Child {
  readonly ageMonths: number;
  readonly weightLb?: number;
  readonly heightIn?: number;
}

const judge = (code: string, child: Child, facts: readonly string[] = [], over: Partial<LawInput> = {}) =>
  judgeLaw({
    jurisdiction: code,
    asOf: '2026-11-25',
    age: exactly(child.ageMonths),
    weightKg: child.weightLb === undefined ? null : exactly(lbToKg(child.weightLb)),
    heightCm: child.heightIn === undefined ? null : exactly(inToCm(child.heightIn)),
    sex: null,
    modeInUse: null,
    row: null,
    facts: Object.fromEntries(facts.map((fact) => [fact, true])) as Partial<Record<LawFact, boolean>>,
    ...over,
  });

const rank = (duty: string | undefined) => (duty === undefined ? DUTIES.length : DUTIES.indexOf(duty as never));

/** The strongest duty on the device among the clauses that count, answered exceptions or not. */
const strongest = (clauses: ReturnType<typeof judge>['clauses'], states: readonly string[]) =>
  clauses
    .filter((c) => states.includes(c.state) && c.requires !== 'rear-seat')
    .map((c) => c.requires)
    .sort((a, b) => rank(a) - rank(b))[0];
const mustBe = (clauses: ReturnType<typeof judge>['clauses']) => strongest(clauses, ['applies', 'unless']);
const rearSeat = (clauses: ReturnType<typeof judge>['clauses']) =>
  clauses.some((c) => c.requires === 'rear-seat' && (c.state === 'applies' || c.state === 'unless'));

const US_CODES = (
  'AL AK AZ AR CA CO CT DE DC FL GA HI ID IL IN IA KS KY LA ME MD MA MI MN MS MO MT NE NV NH NJ NM NY NC ND ' +
  'OH OK OR PA RI SC SD TN TX UT VT VA WA WV WI WY'
)
  .split(' ')
  .map((code) => `US-${code}`);

describe('the table of US laws', () => {
  test('has the 50 states and the District of Columbia, once each', () => {
    expect(us.jurisdictions.map((j) => j.code).sort()).toEqual([...US_CODES].sort());
    for (const code of US_CODES) expect(JURISDICTION_CODES).toContain(code);
  });

  for (const [code, list] of Object.entries(examples))
    test.each(list.map((e, i) => [i + 1, e] as const))(`${code} example %d: %j`, (_, example) => {
      const facts = 'facts' in example ? (example.facts as string[]) : [];
      const { clauses } = judge(code, example, facts);
      expect(mustBe(clauses)).toBe(example.mustBe);
      if ('rearSeat' in example) expect(rearSeat(clauses)).toBe(example.rearSeat);
    });

  test.each([
    ['US-CA', { ageMonths: 18, weightLb: 25, heightIn: 32 }, 'rear-facing'],
    ['US-TX', { ageMonths: 95, weightLb: 70, heightIn: 58 }, 'belt-or-restraint'],
    ['US-DC', { ageMonths: 20, weightLb: 41, heightIn: 39 }, 'rear-facing'],
    ['US-NJ', { ageMonths: 30, weightLb: 35, heightIn: 36 }, 'harness'],
    ['US-WA', { ageMonths: 130, weightLb: 75, heightIn: 56 }, 'booster-or-restraint'],
    ['US-SD', { ageMonths: 66, weightLb: 38, heightIn: 43 }, 'belt-or-restraint'],
  ] as const)('%s spot check %j: %s', (code, child, duty) => {
    expect(mustBe(judge(code, child).clauses)).toBe(duty);
  });

  test('an unknown height never silently clears a duty', () => {
    const rearFacing = judge('US-CA', { ageMonths: 18, weightLb: 25 }).clauses.find((c) => c.id === 'US-CA-1');
    expect(rearFacing?.state).toBe('applies');
    const belted = judge('US-CA', { ageMonths: 94, weightLb: 70 }, [], { modeInUse: 'seat-belt' });
    expect(belted.clauses.find((c) => c.id === 'US-CA-2')).toMatchObject({ state: 'unknown', satisfied: false });
    expect(belted.status).toBe('unknown');
  });
});

/** Months, pounds and inches of a child in the middle of the range, from birth to 18 years; straight between. */
const GROWTH = [
  [0, 8, 20],
  [12, 21, 30],
  [24, 27, 34],
  [36, 31, 37.5],
  [48, 36, 40.5],
  [60, 40.5, 43],
  [72, 45, 45.5],
  [84, 50, 48],
  [96, 56, 50.5],
  [108, 63, 52.5],
  [120, 70, 54.5],
  [132, 79, 56.5],
  [144, 90, 59],
  [168, 110, 63],
  [215, 135, 66],
] as const;

const middling = (ageMonths: number): Required<Child> => {
  const i = Math.max(
    0,
    GROWTH.findLastIndex(([age]) => age <= ageMonths),
  );
  const from = GROWTH[i] ?? GROWTH[0];
  const to = GROWTH[i + 1] ?? from;
  const share = to[0] === from[0] ? 0 : (ageMonths - from[0]) / (to[0] - from[0]);
  return {
    ageMonths,
    weightLb: from[1] + share * (to[1] - from[1]),
    heightIn: from[2] + share * (to[2] - from[2]),
  };
};

describe.each(US_CODES)('%s over the years of a middling child', (code) => {
  test('a newborn has a duty to a restraint of its own', () => {
    const duty = mustBe(judge(code, { ageMonths: 0, weightLb: 8, heightIn: 20 }).clauses);
    expect(rank(duty)).toBeLessThan(rank('belt-or-restraint'));
  });

  test('no duty grows stronger with age, and none is more certain than it is strong', () => {
    let before = 0;
    for (let month = 0; month <= 215; month++) {
      const { clauses } = judge(code, middling(month));
      const duty = rank(mustBe(clauses));
      expect(duty, `at ${month} months`).toBeGreaterThanOrEqual(before);
      expect(rank(strongest(clauses, ['applies']))).toBeGreaterThanOrEqual(duty);
      before = duty;
    }
  });
});
