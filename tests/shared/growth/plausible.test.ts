import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { plausibility, plausibleRange } from '#shared/growth/plausible.ts';
import type { GrowthMeasure, Sex } from '#shared/growth/reference.ts';
import { ageRuns, referenceOver } from '#shared/growth/reference.ts';
import { lmsAt } from '#shared/growth/tables.ts';
import { bentZ, modifiedZ, plainZ, zRange, zScore } from '#shared/growth/z-score.ts';
import type { Interval } from '#shared/interval.ts';
import { exactly, UNBOUNDED } from '#shared/interval.ts';
import { inToCm, lbToKg } from '#shared/units.ts';

const MEASURES = ['weight', 'height'] as const;
const SEXES = ['female', 'male'] as const;

/** The definition of rules.md, Plausible, for one exact value, age and sex. */
const isPlausible = (measure: GrowthMeasure, value: number, age: number, sex: Sex): boolean => {
  if (age > 240) return true;
  const who = age < 24;
  const lms = lmsAt(who ? 'WHO 2006' : 'CDC 2000', measure, sex, age);
  if (measure === 'height') return Math.abs(plainZ(lms, value)) <= 4;
  return plainZ(lms, value) >= -4 && (who ? bentZ(lms, value) : modifiedZ(lms, value)) <= 4;
};

const ages = fc
  .tuple(fc.integer({ min: 0, max: 250 }), fc.integer({ min: 0, max: 30 }))
  .map(([min, span]) => ({ min, max: min + span }));
const sexOrNot = fc.option(fc.constantFrom<Sex>(...SEXES));
const measures = fc.constantFrom<GrowthMeasure>(...MEASURES);
const someValue = (measure: GrowthMeasure) =>
  fc.double({ min: measure === 'weight' ? 1 : 40, max: measure === 'weight' ? 160 : 210, noNaN: true });

const completions = (age: Interval, sex: Sex | null): [number, Sex][] => {
  const all: [number, Sex][] = [];
  for (let month = age.min; month <= age.max; month++) for (const each of sex ? [sex] : SEXES) all.push([month, each]);
  return all;
};

describe('the plausible range', () => {
  test('ends exactly where the definition does, at every month of both references', () => {
    for (const measure of MEASURES)
      for (const sex of SEXES)
        for (let age = 0; age <= 240; age++) {
          const { min, max } = plausibleRange(measure, exactly(age), sex);
          expect(isPlausible(measure, min * (1 - 1e-9), age, sex)).toBe(false);
          expect(isPlausible(measure, min * (1 + 1e-9), age, sex)).toBe(true);
          expect(isPlausible(measure, max * (1 - 1e-9), age, sex)).toBe(true);
          expect(isPlausible(measure, max * (1 + 1e-9), age, sex)).toBe(false);
        }
  });

  test('over ages and sexes holds what is plausible for any of them, and has no gap', () => {
    fc.assert(
      fc.property(
        measures.chain((measure) => fc.tuple(fc.constant(measure), someValue(measure))),
        ages,
        sexOrNot,
        ([measure, value], age, sex) => {
          const { min, max } = plausibleRange(measure, age, sex);
          const any = completions(age, sex).some(([month, each]) => isPlausible(measure, value, month, each));
          expect(value >= min && value <= max).toBe(any);
        },
      ),
      { numRuns: 3000 },
    );
  });

  test('is right between the rows of the tables too', () => {
    for (const age of [0.4, 11.7, 23.9, 24.2, 36.5, 77.25, 239.8]) {
      const { min, max } = plausibleRange('weight', exactly(age), 'female');
      expect(isPlausible('weight', min * 1.000001, age, 'female')).toBe(true);
      expect(isPlausible('weight', max * 1.000001, age, 'female')).toBe(false);
    }
  });

  test('reads a range of months as its whole months and its ends', () => {
    const months = (age: Interval) =>
      ageRuns(age).map(({ reference, first, last }) => `${reference} ${first} to ${last}`);
    expect(months({ min: 36, max: 47 })).toEqual(['CDC 2000 36 to 47']);
    expect(months({ min: 22, max: 25 })).toEqual(['WHO 2006 22 to 23', 'CDC 2000 24 to 25']);
    expect(months({ min: 26.5, max: 28.25 })).toEqual([
      'CDC 2000 26.5 to 26.5',
      'CDC 2000 27 to 28',
      'CDC 2000 28.25 to 28.25',
    ]);
    expect(months(exactly(26.5))).toEqual(['CDC 2000 26.5 to 26.5']);
    expect(months({ min: 238, max: 1200 })).toEqual(['CDC 2000 238 to 240']);
    expect(months(exactly(241))).toEqual([]);
  });

  test('is unbounded without an age and past 240 months', () => {
    expect(plausibleRange('weight', null, 'male')).toEqual(UNBOUNDED);
    expect(plausibleRange('height', exactly(241), null)).toEqual(UNBOUNDED);
    expect(plausibleRange('height', { min: 230, max: 241 }, null)).toEqual(UNBOUNDED);
    expect(plausibleRange('height', exactly(240), 'female').max).toBeLessThan(200);
  });

  test('narrows when an age, a sex or both become known', () => {
    fc.assert(
      fc.property(measures, ages, fc.constantFrom<Sex>(...SEXES), fc.nat(), (measure, age, sex, pick) => {
        const wide = plausibleRange(measure, age, null);
        const narrow = plausibleRange(measure, exactly(age.min + (pick % (age.max - age.min + 1))), sex);
        expect(narrow.min).toBeGreaterThanOrEqual(wide.min);
        expect(narrow.max).toBeLessThanOrEqual(wide.max);
      }),
    );
  });
});

describe('plausibility', () => {
  test('is true, false or unknown as all, none or some completions are plausible', () => {
    fc.assert(
      fc.property(
        measures.chain((measure) => fc.tuple(fc.constant(measure), someValue(measure), someValue(measure))),
        ages,
        sexOrNot,
        fc.boolean(),
        ([measure, a, b], age, sex, exact) => {
          const value = exact ? exactly(a) : { min: Math.min(a, b), max: Math.max(a, b) };
          const inside = Array.from({ length: 201 }, (_, i) => value.min + ((value.max - value.min) * i) / 200);
          const found = new Set(
            completions(age, sex).flatMap(([month, each]) => inside.map((x) => isPlausible(measure, x, month, each))),
          );
          const verdict = plausibility(measure, value, age, sex);
          if (found.size === 2) expect(verdict).toBe('unknown');
          if (verdict === 'true') expect(found).toEqual(new Set([true]));
          if (verdict === 'false') expect(found).toEqual(new Set([false]));
          if (exact) expect(verdict === 'unknown').toBe(found.size === 2);
        },
      ),
      { numRuns: 300 },
    );
  });

  test('catches the unit slips of the growth reference sheet', () => {
    expect(plausibility('weight', exactly(lbToKg(14)), exactly(26), null)).toBe('false');
    expect(plausibility('weight', exactly(14), exactly(26), null)).toBe('true');
    expect(plausibility('weight', exactly(22), exactly(12), 'male')).toBe('false');
    expect(plausibility('height', exactly(105), exactly(40), null)).toBe('true');
    expect(plausibility('height', exactly(inToCm(105)), exactly(40), null)).toBe('false');
  });

  test('inches typed as cm, or cm as inches, are never plausible from 1 to 144 months', () => {
    for (let age = 1; age <= 144; age++)
      for (const sex of SEXES) {
        const { m } = lmsAt(age < 24 ? 'WHO 2006' : 'CDC 2000', 'height', sex, age);
        for (const share of [0.9, 1, 1.1]) {
          expect(plausibility('height', exactly((m * share) / 2.54), exactly(age), sex)).toBe('false');
          expect(plausibility('height', exactly(m * share * 2.54), exactly(age), sex)).toBe('false');
        }
      }
  });

  test('allows for the tolerance at both ends', () => {
    const { min, max } = plausibleRange('weight', exactly(40), 'male');
    expect(plausibility('weight', exactly(max + 5e-7), exactly(40), 'male')).toBe('true');
    expect(plausibility('weight', exactly(max + 2e-6), exactly(40), 'male')).toBe('false');
    expect(plausibility('weight', exactly(min - 5e-7), exactly(40), 'male')).toBe('true');
    expect(plausibility('weight', exactly(min - 2e-6), exactly(40), 'male')).toBe('false');
  });

  test('is unknown without an age, and true past the tables', () => {
    expect(plausibility('weight', exactly(70), null, 'male')).toBe('unknown');
    expect(plausibility('weight', exactly(300), exactly(241), 'male')).toBe('true');
    expect(plausibility('weight', exactly(300), { min: 200, max: 250 }, 'male')).toBe('unknown');
  });
});

describe('the z reported for a range', () => {
  test('reaches from the lightest oldest to the heaviest youngest child', () => {
    const z = zRange('weight', { min: 12, max: 14 }, { min: 36, max: 38 }, 'male');
    expect(z?.min).toBe(zScore('weight', 12, 38, 'male'));
    expect(z?.max).toBe(zScore('weight', 14, 36, 'male'));
  });

  test('covers both sexes when the sex is absent', () => {
    const both = zRange('weight', exactly(14), exactly(36), null);
    const each = SEXES.map((sex) => zScore('weight', 14, 36, sex) as number);
    expect(both).toEqual({ min: Math.min(...each), max: Math.max(...each) });
  });

  test('is absent across the change of reference and past the tables', () => {
    expect(zRange('weight', exactly(12), { min: 23, max: 24 }, 'male')).toBeNull();
    expect(zRange('weight', exactly(12), exactly(241), 'male')).toBeNull();
    expect(zScore('height', 170, 241, 'male')).toBeNull();
    expect(referenceOver({ min: 10, max: 23 })).toBe('WHO 2006');
    expect(referenceOver({ min: 24, max: 240 })).toBe('CDC 2000');
    expect(referenceOver({ min: 20, max: 24 })).toBeNull();
    expect(referenceOver(exactly(240.5))).toBeNull();
  });
});
