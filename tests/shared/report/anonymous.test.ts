import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { anonymous, SMALLEST_GROUP } from '#shared/report/anonymous.ts';
import { AGE_BANDS, ageBand, type Ride, ridesOf } from '#shared/report/figures.ts';
import { aSummary } from '../../factories/summary.ts';

const aRide = (over: Partial<Ride> = {}): Ride => ({
  childId: 'c1',
  seatId: 's1',
  age: '2-3',
  mode: 'forward-facing',
  advised: 'rear-facing',
  kind: 'convertible',
  findings: [],
  ...over,
});

/** Each of a family of its own. */
const apart = <T extends object>(rides: readonly T[]) => rides.map((ride, i) => ({ family: `f${i}`, ...ride }));

const rides = fc.array(
  fc.record({
    language: fc.constantFrom('en', 'es', 'so', 'ht'),
    ride: fc.record({
      childId: fc.constant('c1'),
      seatId: fc.constant('s1'),
      age: fc.constantFrom(...AGE_BANDS, null),
      mode: fc.constantFrom('rear-facing' as const, 'booster' as const, null),
      advised: fc.constantFrom('rear-facing' as const, 'booster' as const),
      kind: fc.constantFrom('convertible' as const, 'booster' as const),
      findings: fc.subarray(['seat-expired', 'harness-loose'] as const).map((codes) => [...codes]),
    }),
  }),
  { maxLength: 60 },
);

// k-anonymity as L. Sweeney defines it (International Journal on Uncertainty, Fuzziness and Knowledge-based Systems 10 (5), 2002).
describe('records without names', () => {
  it('stand at least five times each in what others may know', () => {
    fc.assert(
      fc.property(rides, (all) => {
        const { records, leftOut } = anonymous(apart(all));
        const sizes = new Map<string, number>();
        for (const { language, age, mode } of records) {
          const known = [language, age, mode].join();
          sizes.set(known, (sizes.get(known) ?? 0) + 1);
        }
        expect([...sizes.values()].filter((size) => size < SMALLEST_GROUP)).toEqual([]);
        expect(records.length + leftOut).toBe(all.length);
        expect(leftOut).toBeLessThan(SMALLEST_GROUP);
      }),
    );
  });

  it('tell nothing of the order in which families came', () => {
    fc.assert(
      fc.property(rides, (all) => {
        expect(anonymous(apart(all).toReversed())).toEqual(anonymous(apart(all)));
      }),
    );
  });

  it('lose first the language, then the age, then the way of riding, and only where they are too few', () => {
    const many = Array.from({ length: 5 }, () => ({ language: 'en', ride: aRide() }));
    const alone = { language: 'so', ride: aRide({ age: '0', mode: 'rear-facing', findings: ['seat-expired'] }) };
    expect(anonymous(apart([...many, alone]))).toMatchObject({
      leftOut: 1,
      records: many.map(() => ({ language: 'en' })),
    });
    const fiveTongues = ['so', 'ht', 'ar', 'ko', 'vi'].map((language) => ({ language, ride: aRide() }));
    expect(anonymous(apart([...many, ...fiveTongues])).records.filter(({ language }) => language === '*')).toHaveLength(
      5,
    );
  });

  it('count a child that rides in two cars once', () => {
    const children = apart(Array.from({ length: 4 }, () => ({ language: 'en', ride: aRide() })));
    expect(anonymous([...children, ...children])).toEqual({ records: [], leftOut: 8 });
    const fifth = { family: 'f9', language: 'en', ride: aRide() };
    expect(anonymous([...children, ...children, fifth]).records).toHaveLength(9);
  });

  it('hold no name, no reference, no word and no date of a family', () => {
    const summary = aSummary();
    const all = Array.from({ length: 6 }, () => ridesOf(summary).map((ride) => ({ language: 'en', ride }))).flat();
    const text = JSON.stringify(anonymous(apart(all)));
    for (const said of ['Wren', summary.reference, '2026', 'c1', 's1', 'grey']) expect(text).not.toContain(said);
    expect(text).toContain('tether-not-used');
  });

  it('give an age in whole years', () => {
    const bands = [0, 11, 12, 23, 24, 47, 48, 95, 96, 200, null].map(ageBand);
    expect(bands).toEqual(['0', '0', '1', '1', '2-3', '2-3', '4-7', '4-7', '8-', '8-', null]);
  });
});
