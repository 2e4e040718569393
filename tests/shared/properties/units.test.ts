import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { assess } from '#shared/assess.ts';
import type { Case, RestraintMode } from '#shared/case.ts';
import { cmToIn, inToCm, kgToLb, lbToKg } from '#shared/units.ts';

/** A failing case is told as it was made: shrinking whole families takes longer than reading one. */
const settings = { seed: 20260516, endOnFailure: true };
const LIMITS_LB = [22, 30, 32, 35, 40, 45, 50, 55, 65, 70, 80, 85, 90, 100, 110, 120];
const LIMITS_IN = [29, 30, 32, 33, 40, 43, 44, 49, 50, 52, 54, 57, 60, 63];

/** One quantity of pounds as families and labels write it: the arithmetic differs, the quantity does not. */
const asKg: readonly ((pounds: number) => number)[] = [
  (pounds) => pounds * 0.45359237,
  (pounds) => Number((pounds * 0.45359237).toFixed(8)),
  (pounds) => (pounds * 45359237) / 1e8,
  (pounds) => pounds * 16 * (0.45359237 / 16),
  (pounds) => Math.floor(pounds / 14) * 6.35029318 + (pounds % 14) * 0.45359237,
  (pounds) => pounds / (1 / 0.45359237),
  (pounds) => (pounds * 453.59237) / 1000,
];
const asCm: readonly ((inches: number) => number)[] = [
  (inches) => inches * 2.54,
  (inches) => Number((inches * 2.54).toFixed(2)),
  (inches) => Math.floor(inches / 12) * 30.48 + (inches % 12) * 2.54,
  (inches) => inches / (1 / 2.54),
  (inches) => (inches * 25.4) / 10,
  (inches) => inches * 0.0254 * 100,
];

const riding = (mode: RestraintMode, weightKg: number, heightCm: number, limitKg: number, limitCm: number): Case => ({
  asOf: '2026-05-16',
  children: [{ id: 'c1', ageMonths: 60, sex: 'female', weightKg, heightCm, sizeConfirmed: true }],
  seats: [
    {
      id: 's1',
      kind: 'all-in-one',
      modes: { [mode]: { minWeightKg: null, maxWeightKg: limitKg, minHeightCm: null, maxHeightCm: limitCm } },
    },
  ],
  uses: [{ childId: 'c1', seatId: 's1', mode }],
});

const heaviest = { 'rear-facing': [50, 50], 'forward-facing': [90, 63], booster: [500, 120] } as const;
const mode = fc.constantFrom<RestraintMode>('rear-facing', 'forward-facing', 'booster');
const way = fc.nat(6);

describe('units', () => {
  it('convert exactly by the 1959 agreement (S-260 to S-264)', () => {
    expect([lbToKg(1), inToCm(1), lbToKg(14), inToCm(12)]).toEqual([0.45359237, 2.54, 6.35029318, 30.48]);
    expect(lbToKg(40)).toBeCloseTo(18.1436948, 12);
    expect(lbToKg(65)).toBeCloseTo(29.48350405, 12);
    expect(inToCm(57)).toBeCloseTo(144.78, 12);
    for (const pounds of LIMITS_LB) expect(kgToLb(lbToKg(pounds))).toBeCloseTo(pounds, 12);
    for (const inches of LIMITS_IN) expect(cmToIn(inToCm(inches))).toBeCloseTo(inches, 12);
  });

  it('make no difference to whether a child of exactly the limit fits', () => {
    fc.assert(
      fc.property(
        mode,
        fc.constantFrom(...LIMITS_LB),
        fc.constantFrom(...LIMITS_IN),
        fc.tuple(way, way, way, way),
        (of, pounds, inches, [a, b, c, d]) => {
          fc.pre(pounds <= heaviest[of][0] && inches <= heaviest[of][1]);
          const kg = (n: number) => (asKg[n % asKg.length] as (x: number) => number)(pounds);
          const cm = (n: number) => (asCm[n % asCm.length] as (x: number) => number)(inches);
          const got = assess(riding(of, kg(a), cm(b), kg(c), cm(d)));
          expect(got.children[0]?.modes[of].status).toBe('fits');
          expect(got.findings.map(({ code }) => code)).not.toContain('over-limit');
        },
      ),
      { ...settings, numRuns: 400 },
    );
  });

  it('make no difference to a child a hundredth of a pound or of an inch above the limit', () => {
    fc.assert(
      fc.property(
        mode,
        fc.constantFrom(...LIMITS_LB),
        fc.constantFrom(...LIMITS_IN),
        fc.tuple(way, way, fc.boolean()),
        (of, pounds, inches, [a, b, heavy]) => {
          const kg = (n: number, x: number) => (asKg[n % asKg.length] as (x: number) => number)(x);
          const cm = (n: number, x: number) => (asCm[n % asCm.length] as (x: number) => number)(x);
          const got = assess(
            riding(
              of,
              kg(0, heavy ? pounds + 0.01 : pounds),
              cm(0, heavy ? inches : inches + 0.01),
              kg(a, pounds),
              cm(b, inches),
            ),
          );
          expect(got.children[0]?.modes[of].status).toBe('outgrown');
          expect(got.findings.map(({ code }) => code)).toContain('over-limit');
        },
      ),
      { ...settings, numRuns: 400 },
    );
  });

  it('give the same assessment of the same quantities at every limit', () => {
    for (const of of ['rear-facing', 'forward-facing', 'booster'] as const)
      for (const pounds of LIMITS_LB)
        for (const inches of LIMITS_IN) {
          const decided = asKg.map((kg, i) => {
            const cm = asCm[i % asCm.length] as (x: number) => number;
            const { children, findings, visit } = assess(
              riding(of, kg(pounds), cm(inches), lbToKg(pounds), inToCm(inches)),
            );
            return JSON.stringify([children[0]?.advice, findings, visit]);
          });
          expect(new Set(decided).size).toBe(1);
        }
  });
});
