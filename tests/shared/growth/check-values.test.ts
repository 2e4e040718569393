import { describe, expect, test } from 'vitest';
import type { GrowthMeasure, Sex } from '#shared/growth/reference.ts';
import { lmsAt } from '#shared/growth/tables.ts';
import { bentZ, modifiedZ, plainZ, valueAtZ, zScore } from '#shared/growth/z-score.ts';
import { inToCm, lbToKg } from '#shared/units.ts';
import { readPublished } from '../../published-tables/growth-csv.ts';

// Sources: CDC 2000 (Vital and Health Statistics 11 No. 246) and WHO 2006 (Child Growth Standards), as printed there.

const printed = (table: Parameters<typeof readPublished>[0], sex: Sex, ageMonths: number) => {
  const row = readPublished(table).find((r) => r.sex === sex && r.ageMonths === ageMonths);
  if (!row) throw new Error(`no row ${table} ${sex} ${ageMonths}`);
  return row;
};
const P5 = -1.6448536269514729;
const P97 = 1.880793608151251;
const cdc = (measure: GrowthMeasure, sex: Sex, age: number) => lmsAt('CDC 2000', measure, sex, age);
const who = (measure: GrowthMeasure, sex: Sex, age: number) => lmsAt('WHO 2006', measure, sex, age);

describe('values printed in the published tables', () => {
  test('CDC boy of 36 months, infant file: P3, P50, P97 of weight', () => {
    const { lms } = printed('cdc2000-weight-infant', 'male', 36);
    expect(valueAtZ(lms, -P97)).toBeCloseTo(11.75978387, 6);
    expect(valueAtZ(lms, 0)).toBeCloseTo(14.32994444, 6);
    expect(valueAtZ(lms, P97)).toBeCloseTo(17.93624653, 6);
  });

  test('CDC girl of 12.5 months, infant file: P5, P50, P95 of length', () => {
    const { lms } = printed('cdc2000-length-infant', 'female', 12.5);
    expect(valueAtZ(lms, P5)).toBeCloseTo(69.49379917, 4);
    expect(valueAtZ(lms, 0)).toBeCloseTo(74.39564379, 4);
    expect(valueAtZ(lms, -P5)).toBeCloseTo(79.13625191, 4);
  });

  test.each([
    ['weight', 'male', 24, 10.64009004, 12.6707633, 15.18777349],
    ['weight', 'female', 60.5, 14.70923661, 18.02313904, 23.75023626],
    ['height', 'male', 48.5, 95.58070273, 102.5104735, 109.5219891],
    ['height', 'female', 96.5, 118.5443251, 127.8262759, 137.8974887],
  ] as const)('CDC %s, %s, %d months: P5 %d, P50 %d, P95 %d', (measure, sex, age, p5, p50, p95) => {
    const lms = cdc(measure, sex, age);
    expect(valueAtZ(lms, P5)).toBeCloseTo(p5, 6);
    expect(valueAtZ(lms, 0)).toBeCloseTo(p50, 6);
    expect(valueAtZ(lms, -P5)).toBeCloseTo(p95, 6);
  });

  test('WHO boy of 12 months: weight L, M, S and P3, P97', () => {
    const lms = who('weight', 'male', 12);
    expect(lms).toEqual({ l: 0.0644, m: 9.6479, s: 0.10925 });
    expect(valueAtZ(lms, -P97)).toBeCloseTo(7.8451, 4);
    expect(valueAtZ(lms, P97)).toBeCloseTo(11.8327, 4);
  });

  test('WHO at 24 months: height is 0.7 cm below length', () => {
    for (const [sex, length, height] of [
      ['male', 87.8161, 87.1161],
      ['female', 86.4153, 85.7153],
    ] as const) {
      const rows = readPublished('who2006-length-height').filter((r) => r.sex === sex && r.ageMonths === 24);
      expect(rows.map((r) => [r.kind, r.lms.m])).toEqual([
        ['length', length],
        ['height', height],
      ]);
      expect(who('height', sex, 24).m).toBe(height);
    }
  });
});

describe('values computed from the published L, M and S', () => {
  test('girl of 24 months and 9.9 kg: WHO and CDC disagree, so they are never compared', () => {
    expect(plainZ(who('weight', 'female', 24), 9.9)).toBeCloseTo(-1.2197, 4);
    expect(plainZ(cdc('weight', 'female', 24), 9.9)).toBeCloseTo(-1.9732, 4);
    expect(zScore('weight', 9.9, 24, 'female')).toBeCloseTo(-1.9732, 4);
  });

  test('boy of 36.0 months and 30 lb: rows at 35.5 and 36.5 are interpolated', () => {
    const lms = cdc('weight', 'male', 36);
    expect(lms.l).toBeCloseTo(-0.603194918, 9);
    expect(lms.m).toBeCloseTo(14.330211835, 9);
    expect(lms.s).toBeCloseTo(0.1116246505, 10);
    expect(plainZ(lms, lbToKg(30))).toBeCloseTo(-0.4707, 4);
  });

  test('unit slips: 14 typed as pounds at 36.5 months, 22 typed as kg at 12 months', () => {
    expect(zScore('weight', lbToKg(14), 36.5, 'male')).toBeCloseTo(-9.54, 2);
    expect(plainZ(who('weight', 'male', 12), 22)).toBeCloseTo(7.75, 2);
    expect(plainZ(who('weight', 'male', 12), lbToKg(22))).toBeCloseTo(0.309, 3);
  });

  test('the medians of the two references at 24 months: WHO boy −0.39, WHO girl −0.47 on CDC', () => {
    expect(plainZ(cdc('weight', 'male', 24), who('weight', 'male', 24).m)).toBeCloseTo(-0.39, 2);
    expect(plainZ(cdc('weight', 'female', 24), who('weight', 'female', 24).m)).toBeCloseTo(-0.47, 2);
  });

  test('the CDC length and stature medians differ by 0.8 cm at every shared age', () => {
    let shared = 0;
    for (const { sex, ageMonths, lms } of readPublished('cdc2000-length-infant'))
      if (ageMonths > 24) {
        shared++;
        expect(lms.m - cdc('height', sex, ageMonths).m).toBeCloseTo(0.8, 6);
      }
    expect(shared).toBe(24);
  });

  test.each([
    ['male', 60, 7.7],
    ['male', 96, 4.8],
    ['female', 60, 5.5],
    ['female', 96, 5.1],
  ] as const)('plain CDC weight z of a %s of %d months has the ceiling %d', (sex, age, ceiling) => {
    const { l, m, s } = cdc('weight', sex, age);
    expect(-1 / (l * s)).toBeCloseTo(ceiling, 1);
    expect(plainZ({ l, m, s }, 500)).toBeLessThan(-1 / (l * s));
    expect(modifiedZ({ l, m, s }, 500)).toBeGreaterThan(20);
  });

  // Age in months at which a child on the P5, P50 or P95 channel reaches a limit; found on a grid, so within 0.02.
  test.each([
    ['weight', 'male', lbToKg(40), [80.61, 58.67, 39.48]],
    ['weight', 'female', lbToKg(40), [83.95, 61.15, 39.75]],
    ['weight', 'male', lbToKg(65), [140.56, 111.5, 80.26]],
    ['height', 'male', inToCm(49), [110.25, 89.2, 73.39]],
    ['height', 'female', inToCm(49), [111.99, 89.65, 73.37]],
  ] as const)('CDC channel of %s, %s, reaches %d at %j', (measure, sex, limit, ages) => {
    for (const [i, z] of [P5, 0, -P5].entries()) {
      const age = ages[i] as number;
      expect(valueAtZ(cdc(measure, sex, age - 0.02), z)).toBeLessThan(limit);
      expect(valueAtZ(cdc(measure, sex, age + 0.02), z)).toBeGreaterThanOrEqual(limit);
    }
  });

  test('WHO boy reaches 32 in of lying length at 22.08, 17.04, 13.31 months', () => {
    for (const [age, z] of [
      [22.08, P5],
      [17.04, 0],
      [13.31, -P5],
    ] as const) {
      expect(valueAtZ(who('height', 'male', age - 0.02), z)).toBeLessThan(inToCm(32));
      expect(valueAtZ(who('height', 'male', age + 0.02), z)).toBeGreaterThanOrEqual(inToCm(32));
    }
  });
});

describe('z scales beyond ±3', () => {
  const lms = who('weight', 'female', 10);
  const at = (z: number) => valueAtZ(lms, z);

  test("WHO's weight z goes on in steps as wide as the last one", () => {
    expect(bentZ(lms, at(2.5))).toBeCloseTo(2.5, 12);
    expect(bentZ(lms, at(3) + (at(3) - at(2)))).toBeCloseTo(4, 12);
    expect(bentZ(lms, at(-3) - 2 * (at(-2) - at(-3)))).toBeCloseTo(-5, 12);
  });

  test('the z reported below 24 months is the bent one for weight, the plain one for length', () => {
    const heavy = at(3) + 1.5 * (at(3) - at(2));
    expect(zScore('weight', heavy, 10, 'female')).toBeCloseTo(4.5, 12);
    const length = who('height', 'female', 10);
    expect(zScore('height', valueAtZ(length, 4.5), 10, 'female')).toBeCloseTo(4.5, 12);
  });

  test("CDC's modified z counts half the way to ±2 as one", () => {
    const row = cdc('weight', 'male', 60);
    expect(modifiedZ(row, row.m)).toBe(0);
    expect(modifiedZ(row, valueAtZ(row, 2))).toBeCloseTo(2, 12);
    expect(modifiedZ(row, valueAtZ(row, -2))).toBeCloseTo(-2, 12);
    expect(modifiedZ(row, row.m + 3 * (valueAtZ(row, 2) - row.m))).toBeCloseTo(6, 12);
  });

  test('z of a value is the inverse of the value at z, L zero included', () => {
    const log = { l: 0, m: 10, s: 0.1 };
    expect(valueAtZ(log, 1.5)).toBeCloseTo(10 * Math.exp(0.15), 12);
    for (const row of [lms, cdc('weight', 'female', 100), cdc('height', 'male', 240), log])
      for (const z of [-4, -1, 0, 0.5, 3]) expect(plainZ(row, valueAtZ(row, z))).toBeCloseTo(z, 9);
  });
});

// Shares as simulated over the whole reference population of both sexes; given in whole or tenths of a per cent.
describe('the share of unit mix-ups the plausibility limits catch', () => {
  const share = (age: number, caught: (lms: ReturnType<typeof cdc>, value: number) => boolean): number => {
    const zs = Array.from({ length: 2000 }, (_, i) => normalQuantile((i + 0.5) / 2000));
    const hits = (['female', 'male'] as const).flatMap((sex) =>
      zs.map((z) => Number(caught(cdc('weight', sex, age), valueAtZ(cdc('weight', sex, age), z)))),
    );
    return (100 * hits.reduce((a, b) => a + b)) / hits.length;
  };
  test.each([
    [36, 99.9, 95, 99.9],
    [48, 99, 68, 99.4],
    [60, 96, 39, 98.6],
    [72, 90, 18, 97.6],
    [96, 69, 1, 94],
    [120, 50, 1, 86],
  ])('at %d months: %d %% by modified z > 4, %d %% by plain z, %d %% the other way', (age, modified, plain, low) => {
    const lb = lbToKg(1);
    expect(Math.abs(share(age, (lms, kg) => modifiedZ(lms, kg / lb) > 4) - modified)).toBeLessThan(0.8);
    expect(Math.abs(share(age, (lms, kg) => plainZ(lms, kg / lb) > 4) - plain)).toBeLessThan(0.8);
    expect(Math.abs(share(age, (lms, kg) => plainZ(lms, kg * lb) < -4) - low)).toBeLessThan(0.8);
  });
});

/** Quantile of the standard normal distribution, by bisection of a series for its integral. */
function normalQuantile(p: number): number {
  const below = (z: number) => {
    let term = z;
    let sum = z;
    for (let k = 1; Math.abs(term) > 1e-17; k++) {
      term *= (-z * z) / (2 * k);
      sum += term / (2 * k + 1);
    }
    return 0.5 + sum / Math.sqrt(2 * Math.PI);
  };
  let low = -5;
  let high = 5;
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (below(middle) < p) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
