import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { ModeInUse } from '#shared/case.ts';
import { MODES_IN_USE } from '#shared/case.ts';
import { plausibleRange } from '#shared/growth/plausible.ts';
import type { Sex } from '#shared/growth/reference.ts';
import type { Interval } from '#shared/interval.ts';
import { exactly } from '#shared/interval.ts';
import type { LawInput, LawJudgement } from '#shared/laws/judge.ts';
import { judgeLaw } from '#shared/laws/judge.ts';
import { JURISDICTION_CODES } from '#shared/laws/jurisdictions.ts';
import us from '#shared/laws/us.json' with { type: 'json' };
import { inToCm, lbToKg } from '#shared/units.ts';

const lb = (value: number) => exactly(lbToKg(value));
const inches = (value: number) => exactly(inToCm(value));

const judge = (over: Partial<LawInput>): LawJudgement =>
  judgeLaw({
    jurisdiction: 'US-CA',
    asOf: '2026-05-16',
    age: exactly(18),
    weightKg: lb(25),
    heightCm: inches(32),
    sex: null,
    modeInUse: 'rear-facing',
    row: 2,
    facts: {},
    ...over,
  });
const clause = (judgement: LawJudgement, id: string) => judgement.clauses.find((c) => c.id === id);

describe('a clause result', () => {
  test('carries statute, day and confidence of the record, and how the text was seen', () => {
    expect(clause(judge({}), 'US-CA-1')).toEqual({
      id: 'US-CA-1',
      cite: '§ 27360(b)',
      statute: 'Cal. Veh. Code §§ 27360, 27360.5, 27363',
      asOf: '2023-08 (27360.5); 27360 from the 2015 act in force since 2017-01-01',
      seenAs: 'statute',
      confidence: 'high',
      requires: 'rear-facing',
      state: 'applies',
      satisfied: true,
      unless: [],
    });
  });

  test('says where a clause rests on something weaker than its record', () => {
    expect(clause(judge({ jurisdiction: 'US-WY', age: exactly(30) }), 'US-WY-3')?.seenAs).toBe('memory');
    const delaware = judge({ jurisdiction: 'US-DE', age: exactly(30), facts: { 'front-airbag-active': true } });
    expect(clause(delaware, 'US-DE-6')?.seenAs).toBe('older-text');
  });

  test.each<[ModeInUse, boolean[]]>([
    ['rear-facing', [true, true, true]],
    ['forward-facing', [false, true, true]],
    ['booster', [false, true, true]],
    ['seat-belt', [false, false, true]],
    ['lap-held', [false, false, false]],
    ['none', [false, false, false]],
  ])('%s against a rear-facing, a restraint and a belt duty: %j', (modeInUse, expected) => {
    const judgement = judge({ modeInUse });
    expect(['US-CA-1', 'US-CA-2', 'US-CA-4'].map((id) => clause(judgement, id)?.satisfied)).toEqual(expected);
  });

  test('a harness duty is met facing either way, not by a booster', () => {
    const inPennsylvania = (modeInUse: ModeInUse) =>
      judge({ jurisdiction: 'US-PA', age: exactly(40), modeInUse }).clauses.find((c) => c.requires === 'harness');
    expect(inPennsylvania('rear-facing')?.satisfied).toBe(true);
    expect(inPennsylvania('forward-facing')?.satisfied).toBe(true);
    expect(inPennsylvania('booster')?.satisfied).toBe(false);
  });

  test('a rear-seat duty looks at the row alone', () => {
    const satisfied = (row: number | null) => clause(judge({ row, modeInUse: 'none' }), 'US-CA-3')?.satisfied;
    expect([satisfied(1), satisfied(2), satisfied(3), satisfied(null)]).toEqual([false, true, true, null]);
  });

  test('without a mode in use only the row is judged', () => {
    const judgement = judge({ modeInUse: null, row: 1 });
    expect(clause(judgement, 'US-CA-1')?.satisfied).toBeNull();
    expect(judgement).toMatchObject({ status: 'does-not-meet', urgency: 'at-the-visit' });
    expect(judge({ modeInUse: null })).toMatchObject({ status: 'unknown', urgency: null });
  });
});

describe('exceptions', () => {
  // US-LA-1: rear-facing under two years, unless past the limit of the seat. US-CA-3: rear seat, four exceptions.
  test('that are unanswered leave the duty standing, listed and less urgent', () => {
    const judgement = judge({ jurisdiction: 'US-LA', modeInUse: 'forward-facing' });
    expect(clause(judgement, 'US-LA-1')).toMatchObject({ state: 'unless', unless: ['outgrown-rear-facing'] });
    expect(judgement).toMatchObject({ status: 'does-not-meet', urgency: 'at-the-visit' });
  });

  test('answered with no leave it standing for certain', () => {
    const judgement = judge({
      jurisdiction: 'US-LA',
      modeInUse: 'forward-facing',
      facts: { 'outgrown-rear-facing': false },
    });
    expect(clause(judgement, 'US-LA-1')).toMatchObject({ state: 'applies', unless: [] });
    expect(judgement).toMatchObject({ urgency: 'before-next-trip', demands: 'rear-facing' });
  });

  test('that hold lift it', () => {
    const judgement = judge({
      jurisdiction: 'US-LA',
      modeInUse: 'forward-facing',
      facts: { 'outgrown-rear-facing': true },
    });
    expect(clause(judgement, 'US-LA-1')).toBeUndefined();
    expect(judgement).toMatchObject({ status: 'meets', urgency: null });
  });

  test('one of several known not to hold is no longer listed', () => {
    expect(clause(judge({ facts: { 'no-rear-seat': false } }), 'US-CA-3')?.unless).toEqual([
      'rear-seat-unsuitable',
      'rear-seats-taken-by-children',
      'medical',
    ]);
  });

  test('a rear-seat duty stays a matter for the visit even with every exception answered', () => {
    const facts = {
      'no-rear-seat': false,
      'rear-seat-unsuitable': false,
      'rear-seats-taken-by-children': false,
      medical: false,
    };
    expect(judge({ row: 1, facts })).toMatchObject({ status: 'does-not-meet', urgency: 'at-the-visit' });
  });

  // US-NC-2: rear seat under five years and 40 lb, only with an active front air bag.
  test('a clause that turns on an unanswered fact is conditional and raises nothing', () => {
    const inNorthCarolina = (facts: LawInput['facts']) =>
      judge({ jurisdiction: 'US-NC', age: exactly(30), weightKg: lb(30), row: 1, facts });
    const open = inNorthCarolina({});
    expect(clause(open, 'US-NC-2')).toMatchObject({ state: 'conditional', satisfied: false });
    expect(open).toMatchObject({ status: 'unknown', urgency: null });
    expect(inNorthCarolina({ 'front-airbag-active': true })).toMatchObject({ status: 'does-not-meet' });
    expect(clause(inNorthCarolina({ 'front-airbag-active': false }), 'US-NC-2')).toBeUndefined();
    expect(inNorthCarolina({ 'front-airbag-active': false }).status).toBe('meets');
  });
});

describe('ranges and absent facts', () => {
  test('a clause that only some ages come under is unknown', () => {
    const judgement = judge({ age: { min: 22, max: 26 }, modeInUse: 'forward-facing' });
    expect(clause(judgement, 'US-CA-1')).toMatchObject({ state: 'unknown', satisfied: false });
    expect(judgement).toMatchObject({ status: 'unknown', urgency: null, demands: 'booster' });
    expect(judge({ age: { min: 22, max: 26 } }).status).toBe('meets');
  });

  test('limits of the law are compared exactly, the edge on the side the statute puts it', () => {
    const state = (jurisdiction: string, id: string, height: Interval) =>
      clause(judge({ jurisdiction, age: exactly(90), weightKg: lb(70), heightCm: height, modeInUse: 'seat-belt' }), id)
        ?.state;
    // Georgia frees a child over 57 in, Utah one of 57 in or more.
    expect(state('US-GA', 'US-GA-1', inches(57))).toBe('applies');
    expect(state('US-GA', 'US-GA-1', exactly(57 * 2.54 + 1e-7))).toBe('applies');
    expect(state('US-GA', 'US-GA-1', inches(57.001))).toBeUndefined();
    expect(state('US-UT', 'US-UT-1', inches(57))).toBeUndefined();
    expect(state('US-UT', 'US-UT-1', exactly(57 * 2.54 - 1e-7))).toBeUndefined();
    expect(state('US-UT', 'US-UT-1', inches(56.999))).toBe('applies');
    expect(state('US-UT', 'US-UT-1', { min: inToCm(57), max: inToCm(60) })).toBeUndefined();
    expect(state('US-GA', 'US-GA-1', { min: inToCm(57), max: inToCm(60) })).toBe('unknown');
    expect(state('US-GA', 'US-GA-1', { min: inToCm(50), max: inToCm(57) })).toBe('applies');
  });

  // US-WI-4: rear seat while under four years or under 40 lb. US-HI-3: out from seven years if over 57 in.
  test('the tests of a clause are judged together, not one by one', () => {
    const hawaii = (age: Interval, height: Interval) =>
      clause(judge({ jurisdiction: 'US-HI', age, weightKg: lb(60), heightCm: height, modeInUse: 'booster' }), 'US-HI-3')
        ?.state;
    expect(hawaii({ min: 70, max: 83 }, inches(58))).toBe('applies');
    expect(hawaii({ min: 70, max: 84 }, inches(58))).toBe('unknown');
    expect(hawaii({ min: 84, max: 119 }, inches(58))).toBeUndefined();
    expect(hawaii({ min: 70, max: 119 }, inches(57))).toBe('applies');
  });

  test('two clauses of which one applies at every age are unmet together', () => {
    // US-FL: harness under four years, then a booster to six.
    const judgement = judge({
      jurisdiction: 'US-FL',
      age: { min: 36, max: 59 },
      modeInUse: 'lap-held',
      weightKg: lb(35),
    });
    expect(judgement.status).toBe('does-not-meet');
    expect(judgement.urgency).toBe('before-next-trip');
  });

  test('a duty that begins within the range of ages is not yet unmet', () => {
    // US-ME: a child past the rear-facing limit owes a harness from two years on, but no harness before.
    const facts = { 'outgrown-rear-facing': true, 'outgrown-harness': false };
    const maine = (age: Interval) => judge({ jurisdiction: 'US-ME', age, modeInUse: 'booster', facts });
    expect(maine(exactly(23))).toMatchObject({ status: 'meets', urgency: null, demands: 'booster' });
    expect(maine(exactly(24))).toMatchObject({ status: 'does-not-meet', demands: 'forward-facing' });
    expect(maine({ min: 23, max: 24 })).toMatchObject({ status: 'unknown', urgency: null, demands: 'booster' });
  });

  test('an absent weight or height is what is plausible for the age and sex', () => {
    const young = judge({ weightKg: null, heightCm: null, age: exactly(6), modeInUse: 'forward-facing' });
    expect(clause(young, 'US-CA-1')?.state).toBe('applies');
    expect(young.urgency).toBe('before-next-trip');
    for (const absent of [{ weightKg: null }, { heightCm: null }])
      expect(clause(judge({ ...absent, age: exactly(6) }), 'US-CA-1')?.state).toBe('applies');
    // A girl of 83 months can plausibly be 57 in tall, a boy cannot (CDC 2000, z = 4).
    const inUtah = (sex: Sex | null) =>
      clause(judge({ jurisdiction: 'US-UT', age: exactly(83), heightCm: null, sex }), 'US-UT-1')?.state;
    expect([inUtah('female'), inUtah('male'), inUtah(null)]).toEqual(['unknown', 'applies', 'unknown']);
    expect(plausibleRange('height', exactly(83), 'female').max).toBeGreaterThan(inToCm(57));
    expect(plausibleRange('height', exactly(83), 'male').max).toBeLessThan(inToCm(57));
  });

  test('a duty that holds only in the middle of the range of ages is not missed', () => {
    // US-MO-3: a booster from 48 to 96 months, between 40 and 80 lb.
    const judgement = judge({
      jurisdiction: 'US-MO',
      age: { min: 40, max: 100 },
      weightKg: null,
      heightCm: inches(50),
    });
    expect(clause(judgement, 'US-MO-3')?.state).toBe('unknown');
  });

  test('without an age every duty is open, and belts are for everyone under 16', () => {
    const judgement = judge({ age: null, weightKg: null, heightCm: null });
    expect(judgement.clauses.filter((c) => c.state !== 'upcoming').map((c) => c.state)).toEqual([
      'unknown',
      'unknown',
      'unknown',
      'unknown',
    ]);
    expect(judgement).toMatchObject({ status: 'meets', demands: null });
    expect(judge({ age: null, modeInUse: 'none' }).status).toBe('unknown');
  });

  test('the least protective mode every certain duty allows is what the law demands', () => {
    expect(judge({}).demands).toBe('rear-facing');
    expect(judge({ age: exactly(30) }).demands).toBe('booster');
    expect(judge({ age: exactly(100), heightCm: inches(50), weightKg: lb(60) }).demands).toBe('seat-belt');
    expect(judge({ age: exactly(200), heightCm: inches(65), weightKg: lb(120) }).demands).toBeNull();
    expect(judge({ jurisdiction: 'US-PA', age: exactly(40) }).demands).toBe('forward-facing');
  });
});

describe('changes to come', () => {
  // AB 435 (Stats. 2025, ch. 434), from 2027-01-01: a fit test for belts from eight to fifteen.
  test('are told with their day until it has come, and judge nothing before', () => {
    const nine = { age: exactly(108), weightKg: lb(60), heightCm: inches(52), modeInUse: 'seat-belt' as const };
    const before = judge({ ...nine, asOf: '2026-12-31' });
    expect(clause(before, 'US-CA-5')).toMatchObject({
      state: 'upcoming',
      asOf: '2027-01-01',
      cite: 'AB 435 (Stats. 2025, ch. 434)',
      satisfied: null,
    });
    expect(before.status).toBe('meets');
    const after = judge({ ...nine, asOf: '2027-01-01' });
    expect(clause(after, 'US-CA-5')).toMatchObject({ state: 'unless', unless: ['belt-fits'], satisfied: false });
    expect(after).toMatchObject({ status: 'does-not-meet', urgency: 'at-the-visit' });
    expect(judge({ ...nine, asOf: '2027-01-01', facts: { 'belt-fits': true } }).status).toBe('meets');
  });
});

describe('outside the US', () => {
  const at = (jurisdiction: string, over: Partial<LawInput>) => judge({ jurisdiction, ...over });

  test('Great Britain: a child restraint until 12 years or 135 cm (Highway Code, S-241)', () => {
    const belted = (age: number, cm: number) =>
      at('GB', { age: exactly(age), weightKg: exactly(35), heightCm: exactly(cm), modeInUse: 'seat-belt' });
    expect(belted(143, 134.9)).toMatchObject({ status: 'does-not-meet', urgency: 'before-next-trip' });
    expect(belted(143, 135).status).toBe('meets');
    expect(belted(144, 120).status).toBe('meets');
  });

  test.each([
    ['IE', 143, 149.9, 'does-not-meet'],
    ['IE', 143, 150, 'meets'],
    ['DE', 143, 149.9, 'does-not-meet'],
    ['DE', 143, 150, 'meets'],
    ['DE', 144, 140, 'meets'],
    ['FR', 119, 149.9, 'does-not-meet'],
    ['FR', 119, 150, 'meets'],
  ])('%s, belt alone at %d months and %d cm: %s (Directive 91/671/EEC, S-230, S-243)', (code, age, cm, status) => {
    const facts = { age: exactly(age), weightKg: exactly(35), heightCm: exactly(cm), modeInUse: 'seat-belt' } as const;
    expect(at(code, facts).status).toBe(status);
  });

  test('UN R129 keeps a child rear-facing to 15 months, UN R44 to 9 kg, by the seat in use (S-220, S-226)', () => {
    const baby = {
      age: exactly(14),
      weightKg: exactly(9),
      heightCm: exactly(76),
      modeInUse: 'forward-facing',
    } as const;
    expect(at('GB', baby)).toMatchObject({ status: 'unknown', urgency: null });
    expect(clause(at('GB', baby), 'GB-2')).toMatchObject({ state: 'conditional', confidence: 'medium' });
    expect(at('GB', { ...baby, facts: { 'restraint-r129': true } }).status).toBe('does-not-meet');
    const r44 = { 'restraint-r129': false, 'restraint-r44': true };
    expect(at('GB', { ...baby, facts: r44 }).status).toBe('meets');
    expect(at('DE', { ...baby, weightKg: exactly(8.9), facts: r44 }).status).toBe('does-not-meet');
    expect(
      at('FR', { ...baby, age: exactly(15), facts: { 'restraint-r129': true, 'restraint-r44': false } }).status,
    ).toBe('meets');
  });

  test('says how weakly these rest', () => {
    const { clauses } = at('DE', { age: exactly(14), weightKg: exactly(8), modeInUse: 'rear-facing' });
    expect(clauses.map((c) => [c.id, c.seenAs, c.confidence])).toEqual([
      ['DE-1', 'secondary', 'low'],
      ['DE-2', 'secondary', 'low'],
      ['DE-3', 'memory', 'low'],
      ['DE-4', 'memory', 'low'],
    ]);
  });
});

describe('a jurisdiction without data', () => {
  test.each([null, 'XX-YY', 'us-ca', 'US', ''])('%j is unknown and no error', (jurisdiction) => {
    expect(judge({ jurisdiction })).toEqual({ status: 'unknown', clauses: [], urgency: null, demands: null });
  });
});

const range = (low: number, high: number, width: number) =>
  fc
    .tuple(fc.double({ min: low, max: high, noNaN: true }), fc.double({ min: 0, max: width, noNaN: true }))
    .map(([min, span]) => ({ min, max: min + span }));
/** Edges of the law in kg and cm among arbitrary ranges. */
const weights = fc.oneof(
  range(3, 60, 25),
  fc
    .constantFrom(20, 30, 40, 60, 65, 80, 100)
    .chain((t) =>
      fc.constantFrom(
        { min: lbToKg(t), max: lbToKg(t) },
        { min: lbToKg(t) - 1, max: lbToKg(t) },
        { min: lbToKg(t), max: lbToKg(t) + 1 },
      ),
    ),
);
const heights = fc.oneof(
  range(45, 170, 30),
  fc
    .constantFrom(40, 57, 65)
    .chain((t) =>
      fc.constantFrom(
        { min: inToCm(t), max: inToCm(t) },
        { min: inToCm(t) - 2, max: inToCm(t) },
        { min: inToCm(t), max: inToCm(t) + 2 },
      ),
    ),
);
const inputs: fc.Arbitrary<LawInput> = fc.record({
  jurisdiction: fc.constantFrom(...JURISDICTION_CODES),
  asOf: fc.constantFrom('2026-05-16', '2027-06-01'),
  age: fc
    .tuple(fc.integer({ min: 0, max: 220 }), fc.integer({ min: 0, max: 24 }))
    .map(([min, n]) => ({ min, max: min + n })),
  weightKg: fc.option(weights, { freq: 3 }),
  heightCm: fc.option(heights, { freq: 3 }),
  sex: fc.option(fc.constantFrom<Sex>('female', 'male')),
  modeInUse: fc.option(fc.constantFrom(...MODES_IN_USE)),
  row: fc.option(fc.constantFrom(1, 2)),
  facts: fc.record({
    'outgrown-rear-facing': fc.constantFrom(true, false, undefined),
    'outgrown-harness': fc.constantFrom(true, false, undefined),
    'front-airbag-active': fc.constantFrom(true, false, undefined),
    'no-rear-seat': fc.constantFrom(true, false, undefined),
    'belt-fits': fc.constantFrom(true, false, undefined),
  }),
}) as fc.Arbitrary<LawInput>;

const within = ({ min, max }: Interval, part: number) => min + part * (max - min);

/** One completion; an absent weight or height is taken from what is plausible for the age and sex. */
const narrowed = (input: LawInput, agePart: number, weightPart: number, heightPart: number, boy: boolean): LawInput => {
  const age = exactly(Math.round(within(input.age as Interval, agePart)));
  const sex = input.sex ?? (boy ? 'male' : 'female');
  const one = (measure: 'weight' | 'height', value: Interval | null, part: number) =>
    exactly(within(value ?? plausibleRange(measure, age, sex), part));
  return {
    ...input,
    age,
    sex,
    weightKg: one('weight', input.weightKg, weightPart),
    heightCm: one('height', input.heightCm, heightPart),
  };
};
const strength = ({ demands }: LawJudgement) =>
  demands === null ? 0 : MODES_IN_USE.length - MODES_IN_USE.indexOf(demands);
const share = fc.oneof(fc.constantFrom(0, 1), fc.double({ min: 0, max: 1, noNaN: true }));

describe('for any child and jurisdiction', () => {
  test('narrowing a range never overturns what was certain', () => {
    fc.assert(
      fc.property(inputs, share, share, share, fc.boolean(), (input, age, weight, height, boy) => {
        const wide = judgeLaw(input);
        const narrow = judgeLaw(narrowed(input, age, weight, height, boy));
        if (wide.status !== 'unknown') expect(narrow.status).toBe(wide.status);
        if (wide.demands !== null) expect(strength(narrow)).toBeGreaterThanOrEqual(strength(wide));
        if (wide.urgency === 'before-next-trip') expect(narrow.urgency).toBe('before-next-trip');
        if (wide.urgency === 'at-the-visit') expect(narrow.urgency).not.toBeNull();
        for (const { id, state } of wide.clauses)
          if (state !== 'unknown') expect(clause(narrow, id)?.state).toBe(state);
        for (const { id } of narrow.clauses) expect(clause(wide, id)).toBeDefined();
      }),
      { numRuns: 3000 },
    );
  });

  test('what is left unknown has completions on both sides', () => {
    const grid = [0, 0.25, 0.5, 0.75, 1];
    fc.assert(
      fc.property(inputs, (input) => {
        const wide = judgeLaw(input);
        const answers = [true, false].flatMap((boy) =>
          grid.flatMap((a) => grid.flatMap((w) => grid.map((h) => judgeLaw(narrowed(input, a, w, h, boy))))),
        );
        const states = new Set(answers.map((a) => a.status));
        if (states.size > 1) expect(wide.status).toBe('unknown');
        for (const { id } of wide.clauses) {
          const seen = new Set(answers.map((a) => clause(a, id)?.state));
          if (seen.size > 1) expect(clause(wide, id)?.state).toBe('unknown');
        }
      }),
      { numRuns: 300 },
    );
  });

  test('an exact child in a mode that meets every listed clause meets the law, and one unmet clause breaks it', () => {
    fc.assert(
      fc.property(inputs, share, share, share, fc.boolean(), (input, age, weight, height, boy) => {
        const { status, clauses, urgency } = judgeLaw(narrowed(input, age, weight, height, boy));
        const counting = clauses.filter((c) => c.state === 'applies' || c.state === 'unless');
        const unmet = counting.filter((c) => c.satisfied === false);
        expect(status === 'does-not-meet').toBe(unmet.length > 0);
        expect(urgency !== null).toBe(unmet.length > 0);
        expect(urgency === 'before-next-trip').toBe(
          unmet.some((c) => c.state === 'applies' && c.requires !== 'rear-seat'),
        );
        const open = clauses.filter((c) => c.state !== 'upcoming');
        expect(status === 'meets').toBe(open.every((c) => c.satisfied === true));
      }),
      { numRuns: 2000 },
    );
  });

  test('a stronger device never breaks a law that a weaker one meets', () => {
    fc.assert(
      fc.property(inputs, fc.integer({ min: 0, max: 4 }), (input, i) => {
        const [stronger, weaker] = [MODES_IN_USE[i], MODES_IN_USE[i + 1]] as [ModeInUse, ModeInUse];
        if (judgeLaw({ ...input, modeInUse: weaker }).status === 'meets')
          expect(judgeLaw({ ...input, modeInUse: stronger }).status).toBe('meets');
      }),
    );
  });

  test('every clause of every US record can apply to some child', () => {
    const reached = new Set<string>();
    for (const { code } of us.jurisdictions)
      for (let age = 0; age < 216; age += 1)
        for (const facts of [{}, { 'front-airbag-active': true }])
          for (const c of judge({ jurisdiction: code, age: exactly(age), weightKg: null, heightCm: null, facts })
            .clauses)
            if (c.state !== 'upcoming') reached.add(c.id);
    const all = us.jurisdictions.flatMap((j) => j.clauses.map((c) => c.id));
    expect(all.filter((id) => !reached.has(id))).toEqual([]);
  });
});
