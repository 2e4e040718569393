import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { countDistribution, enoughFor, enoughWithin } from '#shared/stock/counts.ts';
import { normalUpTo } from '#shared/stock/normal.ts';

const settings = { seed: 20260516, numRuns: 200 };
const chance = fc.oneof(fc.constantFrom(0, 0.5, 1), fc.double({ min: 0, max: 1, noNaN: true }));
const needs = fc.array(chance, { maxLength: 9 });

/** Every way in which needs can arise or not, one by one: 2^n of them. */
function byEnumeration(odds: readonly number[]): number[] {
  const counts = Array.from({ length: odds.length + 1 }, () => 0);
  for (let ways = 0; ways < 2 ** odds.length; ways++) {
    let probability = 1;
    let number = 0;
    for (const [i, p] of odds.entries()) {
      const arises = (ways >> i) % 2 === 1;
      probability *= arises ? p : 1 - p;
      if (arises) number++;
    }
    counts[number] = (counts[number] as number) + probability;
  }
  return counts;
}

describe('the number of needs', () => {
  it('is distributed as counting every way in which they can arise says', () => {
    fc.assert(
      fc.property(needs, (odds) => {
        const expected = byEnumeration(odds);
        const counts = countDistribution(odds);
        expect(counts).toHaveLength(expected.length);
        for (const [number, p] of counts.entries()) expect(p).toBeCloseTo(expected[number] as number, 12);
      }),
      settings,
    );
  });

  it('has odds that add up to one, and the mean that the single odds add up to', () => {
    fc.assert(
      fc.property(fc.array(chance, { maxLength: 60 }), (odds) => {
        const counts = countDistribution(odds);
        expect(counts.reduce((sum, p) => sum + p, 0)).toBeCloseTo(1, 10);
        const mean = counts.reduce((sum, p, number) => sum + p * number, 0);
        expect(mean).toBeCloseTo(
          odds.reduce((sum, p) => sum + p, 0),
          8,
        );
      }),
      settings,
    );
  });

  // Cumulative binomial probabilities for n = 10, p = 0.5, as any printed table has them (from memory): up to 6 is 0.8281,
  // up to 7 is 0.9453.
  it('is binomial where all odds are the same', () => {
    const coins = Array.from({ length: 10 }, () => 0.5);
    const upTo = (most: number) =>
      countDistribution(coins)
        .slice(0, most + 1)
        .reduce((sum, p) => sum + p, 0);
    expect(upTo(6)).toBeCloseTo(0.8281, 4);
    expect(upTo(7)).toBeCloseTo(0.9453, 4);
    expect(enoughFor(coins)).toBe(7);
  });
});

describe('the number to bring', () => {
  it('is the least that suffices nine times out of ten', () => {
    fc.assert(
      fc.property(needs, (odds) => {
        const counts = byEnumeration(odds);
        const upTo = (most: number) => counts.slice(0, most + 1).reduce((sum, p) => sum + p, 0);
        const enough = enoughFor(odds);
        expect(upTo(enough)).toBeGreaterThanOrEqual(0.9 - 1e-9);
        if (enough > 0) expect(upTo(enough - 1)).toBeLessThan(0.9 + 1e-9);
      }),
      settings,
    );
  });

  it('is none of what nobody needs, and all of what everybody needs', () => {
    expect(enoughFor([])).toBe(0);
    expect(enoughFor([0, 0, 0.1])).toBe(0);
    expect(enoughFor([1, 1, 1])).toBe(3);
  });

  it('never falls where a need becomes likelier or one more comes', () => {
    fc.assert(
      fc.property(needs, chance, chance, (odds, a, b) => {
        const [less, more] = [Math.min(a, b), Math.max(a, b)];
        expect(enoughFor([...odds, less])).toBeLessThanOrEqual(enoughFor([...odds, more]));
        expect(enoughFor(odds)).toBeLessThanOrEqual(enoughFor([...odds, less]));
        const { low, high } = enoughWithin([...odds.map((p) => ({ low: p / 2, high: p })), { low: less, high: more }]);
        expect(low).toBeLessThanOrEqual(high);
      }),
      settings,
    );
  });
});

describe('the normal distribution', () => {
  // NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.1 (cumulative normal table), and its usual quantiles.
  it.each([
    [0, 0.5],
    [1, 0.84134],
    [1.96, 0.975],
    [-1.2815515655446004, 0.1],
    [2.33, 0.9901],
    [-3, 0.00135],
  ])('up to %d is %d', (z, p) => {
    expect(normalUpTo(z)).toBeCloseTo(p, 5);
  });

  it('rises from nothing to everything, the same on both sides', () => {
    fc.assert(
      fc.property(fc.double({ min: -12, max: 12, noNaN: true }), fc.double({ min: 0, max: 3, noNaN: true }), (z, d) => {
        expect(normalUpTo(z + d)).toBeGreaterThanOrEqual(normalUpTo(z) - 1e-15);
        expect(normalUpTo(z) + normalUpTo(-z)).toBeCloseTo(1, 14);
      }),
      settings,
    );
  });
});
