import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { plausibleRange } from '#shared/growth/plausible.ts';
import type { Sex } from '#shared/growth/reference.ts';
import type { Interval } from '#shared/interval.ts';
import { exactly } from '#shared/interval.ts';
import type { Body, Cuts, Size } from '#shared/possible-sizes.ts';
import { possibleSizes, representatives } from '#shared/possible-sizes.ts';

const seed = 20260516;

const range = (most: number, widest: number): fc.Arbitrary<Interval> =>
  fc.tuple(fc.nat(most), fc.nat(widest)).map(([min, width]) => ({ min, max: min + width }));

const body: fc.Arbitrary<Body> = fc.record({
  age: fc.option(range(250, 30), { nil: null }),
  weight: fc.option(range(60, 20), { nil: null }),
  height: fc.option(range(150, 20), { nil: null }),
  sex: fc.constantFrom<Sex | null>('female', 'male', null),
});

const cutsUpTo = (most: number) =>
  fc
    .array(fc.nat(most), { maxLength: 6 })
    .map((values) => [...new Set(values)].sort((a, b) => a - b).map((n) => n + 0.25));
const cuts: fc.Arbitrary<Cuts> = fc.record({
  ageMonths: cutsUpTo(260),
  weightKg: cutsUpTo(80),
  heightCm: cutsUpTo(190),
});

const side = (value: number, at: readonly number[]): number => at.filter((cut) => cut <= value).length;
const cell = ({ ageMonths, weightKg, heightCm }: Size, { ageMonths: ages, weightKg: kg, heightCm: cm }: Cuts): string =>
  [side(ageMonths, ages), side(weightKg, kg), side(heightCm, cm)].join();

const pick = ({ min, max }: Interval, share: number): number => min + (Math.min(max, 400) - min) * share;

/** One completion: a whole month of the range, a sex, and measures stated or plausible for both. */
const complete = ({ age, weight, height, sex }: Body, shares: readonly [number, number, number, boolean]): Size => {
  const ageMonths = Math.round(pick(age ?? { min: 0, max: 400 }, shares[0]));
  const at = age === null ? null : exactly(ageMonths);
  const as = sex ?? (shares[3] ? 'female' : 'male');
  return {
    ageMonths,
    weightKg: pick(weight ?? plausibleRange('weight', at, as), shares[1]),
    heightCm: pick(height ?? plausibleRange('height', at, as), shares[2]),
  };
};

describe('possible sizes', () => {
  const share = fc.double({ min: 0, max: 1, noNaN: true });

  it('stand for every completion, by the stretches between cuts', () => {
    fc.assert(
      fc.property(
        body,
        cuts,
        fc.array(fc.tuple(share, share, share, fc.boolean()), { minLength: 20 }),
        (b, c, many) => {
          const cells = new Set(possibleSizes(b, c).map((size) => cell(size, c)));
          for (const shares of many) {
            const size = complete(b, shares);
            expect(cells).toContain(cell(size, c));
          }
        },
      ),
      { seed, numRuns: 400 },
    );
  });

  it('list none that cannot occur', () => {
    fc.assert(
      fc.property(body, cuts, (b, c) => {
        const all = b.age ?? { min: 0, max: 400 };
        const ages = Array.from({ length: all.max - all.min + 1 }, (_, i) => all.min + i);
        for (const size of possibleSizes(b, c)) {
          const alike = ages.filter((months) => side(months, c.ageMonths) === side(size.ageMonths, c.ageMonths));
          expect([size, someAlikeIsPossible(b, size, alike, c)]).toEqual([size, true]);
        }
      }),
      { seed, numRuns: 200 },
    );
  });

  it('take one value from each stretch and only from inside the range', () => {
    expect(representatives({ min: 0, max: 10 }, [2, 6, 20])).toEqual([1, 4, 8]);
    expect(representatives(exactly(5), [5])).toEqual([5]);
    expect(representatives({ min: 3, max: Number.POSITIVE_INFINITY }, [4])).toEqual([3.5, 4.5]);
  });
});

/** The listed size is the middle of its stretch; some size of the same stretch must be possible. */
function someAlikeIsPossible(b: Body, size: Size, ages: readonly number[], c: Cuts): boolean {
  return ages.some((months) =>
    (['female', 'male'] as const).some((sex) => {
      if (b.sex !== null && b.sex !== sex) return false;
      const at = b.age === null ? null : exactly(months);
      const weights = b.weight ?? plausibleRange('weight', at, sex);
      const heights = b.height ?? plausibleRange('height', at, sex);
      const reaches = ({ min, max }: Interval, value: number, cut: readonly number[]) =>
        max >= (cut.findLast((each) => each <= value) ?? 0) &&
        min < (cut.find((each) => each > value) ?? Number.POSITIVE_INFINITY);
      return reaches(weights, size.weightKg, c.weightKg) && reaches(heights, size.heightCm, c.heightCm);
    }),
  );
}
