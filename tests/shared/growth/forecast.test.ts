import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { ForecastInput } from '#shared/growth/forecast.ts';
import { forecastLimit, spread } from '#shared/growth/forecast.ts';
import type { GrowthMeasure, Sex } from '#shared/growth/reference.ts';
import { lmsAt } from '#shared/growth/tables.ts';
import { plainZ, valueAtZ } from '#shared/growth/z-score.ts';
import { exactly } from '#shared/interval.ts';
import { inToCm, lbToKg, TOLERANCE } from '#shared/units.ts';

const asOf = '2026-01-15';
const child = (over: Partial<ForecastInput> = {}): ForecastInput => ({
  measure: 'weight',
  limit: lbToKg(40),
  value: exactly(14),
  age: exactly(30),
  sex: 'male',
  asOf,
  ...over,
});

/** Months from `asOf` to a year-month. */
const ahead = (yearMonth: string | null): number | null =>
  yearMonth === null ? null : (Number(yearMonth.slice(0, 4)) - 2026) * 12 + Number(yearMonth.slice(5)) - 1;
const monthsAhead = (input: ForecastInput) => {
  const { earliest, likely, latest } = forecastLimit(input);
  return [ahead(earliest), ahead(likely), ahead(latest)];
};

/** Probability below z of the standard normal distribution, by a series for its integral. */
const normalBelow = (z: number): number => {
  if (Math.abs(z) > 8) return z > 0 ? 1 : 0;
  let term = z;
  let sum = z;
  for (let k = 1; Math.abs(term) > 1e-17; k++) {
    term *= (-z * z) / (2 * k);
    sum += term / (2 * k + 1);
  }
  return 0.5 + sum / Math.sqrt(2 * Math.PI);
};

/** The definition word for word: the first whole month at which the probability is 10, 50 and 90 %. */
const byDefinition = (measure: GrowthMeasure, limit: number, value: number, age: number, sex: Sex) => {
  const reference = age < 24 ? 'WHO 2006' : 'CDC 2000';
  const end = age < 24 ? 60 : 240;
  const z = plainZ(lmsAt(reference, measure, sex, age), value);
  const years = Math.min(7, Math.max(0.5, age / 12));
  const first = (goal: number, lead: (r: number) => number) => {
    // The tolerance of every comparison of the rules.
    if (value > limit + TOLERANCE) return 0;
    for (let m = 1; m <= 60 && age + m <= end; m++) {
      const d = m / 12;
      const drift = measure === 'weight' ? 0.58 * d ** 0.33 * years ** -0.3 : 0.58 * d ** 0.2 * years ** -0.25;
      const s = Math.min(0.95, drift);
      const zLimit = plainZ(lmsAt(reference, measure, sex, age + m), limit);
      if (normalBelow((lead(Math.sqrt(1 - s * s)) - zLimit) / s) >= goal) return m;
    }
    return null;
  };
  return [first(0.1, (r) => Math.max(z, r * z)), first(0.5, (r) => r * z), first(0.9, (r) => r * z)];
};

describe('the published spread of growth', () => {
  // Growth reference sheet, Uncertainty: s and r by age at the measurement and months ahead, two decimals.
  test.each([
    ['weight', 6, ['0.45/0.89', '0.57/0.82', '0.71/0.70', '0.90/0.44']],
    ['weight', 12, ['0.37/0.93', '0.46/0.89', '0.58/0.81', '0.73/0.68']],
    ['weight', 24, ['0.30/0.95', '0.37/0.93', '0.47/0.88', '0.59/0.81']],
    ['weight', 48, ['0.24/0.97', '0.30/0.95', '0.38/0.92', '0.48/0.88']],
    ['height', 6, ['0.52/0.85', '0.60/0.80', '0.69/0.72', '0.79/0.61']],
    ['height', 12, ['0.44/0.90', '0.50/0.86', '0.58/0.81', '0.67/0.75']],
    ['height', 24, ['0.37/0.93', '0.42/0.91', '0.49/0.87', '0.56/0.83']],
    ['height', 48, ['0.31/0.95', '0.36/0.93', '0.41/0.91', '0.47/0.88']],
  ] as const)('of %s from %d months', (measure, age, table) => {
    const cells = [3, 6, 12, 24].map((m) => {
      const s = spread(measure, age, m);
      return `${s.toFixed(2)}/${Math.sqrt(1 - s * s).toFixed(2)}`;
    });
    expect(cells).toEqual(table);
  });

  test('is capped, and its age is held to half a year at least and seven years at most', () => {
    expect(spread('weight', 0, 60)).toBe(0.95);
    expect(spread('height', 2, 12)).toBe(spread('height', 6, 12));
    expect(spread('height', 150, 12)).toBe(spread('height', 84, 12));
    expect(spread('height', 84, 12)).toBeLessThan(spread('height', 83, 12));
  });

  // Observed spread of z around its regression in open longitudinal data, one pair a child: Terneuzen birth cohort (NL),
  // SMOCC extract (NL), Collaborative Perinatal Project extract (US). Age, months ahead, pairs, spread.
  test.each([
    [
      'weight',
      [
        [6, 6, 163, 0.56],
        [12, 6, 50, 0.45],
        [12, 12, 80, 0.56],
        [24, 12, 106, 0.52],
        [39, 12, 108, 0.37],
        [48, 6, 24, 0.38],
        [48, 12, 129, 0.36],
        [48, 24, 153, 0.46],
        [66, 24, 129, 0.41],
        [48, 36, 131, 0.47],
        [12, 36, 131, 0.62],
      ],
    ],
    [
      'height',
      [
        [6, 6, 183, 0.51],
        [12, 6, 157, 0.52],
        [12, 12, 148, 0.6],
        [39, 12, 107, 0.45],
        [48, 12, 128, 0.44],
        [48, 24, 153, 0.43],
        [66, 24, 130, 0.34],
        [48, 36, 129, 0.49],
      ],
    ],
  ] as const)('makes the 80 %% interval of %s cover about 80 %% of observed children', (measure, rows) => {
    let pairs = 0;
    let coveredPairs = 0;
    for (const [age, m, n, observed] of rows) {
      const covered = 2 * normalBelow((1.2816 * spread(measure, age, m)) / observed) - 1;
      expect(covered).toBeGreaterThan(0.69);
      expect(covered).toBeLessThan(0.93);
      pairs += n;
      coveredPairs += n * covered;
    }
    expect(coveredPairs / pairs).toBeGreaterThan(0.78);
    expect(coveredPairs / pairs).toBeLessThan(0.86);
  });

  // WHO growth velocity standards 2009: SD of the six-month length increment, with the spread of z it implies.
  test.each([
    ['male', 6, 1.22, 0.86],
    ['male', 12, 1.02, 0.93],
    ['male', 18, 0.95, 0.95],
    ['female', 6, 1.15, 0.9],
    ['female', 12, 1.1, 0.93],
    ['female', 18, 1.02, 0.95],
  ] as const)('is no narrower than research-grade length gains of a %s from %d months', (sex, age, gainSd, r) => {
    const sd = (at: number) => {
      const { m, s } = lmsAt('WHO 2006', 'height', sex, at);
      return m * s;
    };
    const implied = (sd(age) ** 2 + sd(age + 6) ** 2 - gainSd ** 2) / (2 * sd(age) * sd(age + 6));
    expect(implied).toBeCloseTo(r, 1);
    expect(spread('height', age, 6)).toBeGreaterThan(Math.sqrt(1 - implied ** 2));
  });
});

describe('worked examples of the growth reference sheet', () => {
  test('boy, 30 months, 14.0 kg: 40 lb at 17.5, 25.3, 35.8 months ahead', () => {
    expect(monthsAhead(child())).toEqual([18, 26, 36]);
    expect(forecastLimit(child())).toEqual({ earliest: '2027-07', likely: '2028-03', latest: '2029-01' });
  });

  test('girl, 60 months, 110 cm: 49 in at 19.5, 25.0, 31.7 months ahead', () => {
    const girl = child({ measure: 'height', limit: inToCm(49), value: exactly(110), age: exactly(60), sex: 'female' });
    expect(monthsAhead(girl)).toEqual([20, 25, 32]);
  });

  test('boy, 12 months, 76 cm lying: 32 in at 3.4, 4.8, 6.6 months ahead', () => {
    const boy = child({ measure: 'height', limit: inToCm(32), value: exactly(76), age: exactly(12) });
    expect(monthsAhead(boy)).toEqual([4, 5, 7]);
  });

  test.each([
    [6, 14.12, 14.85, 15.64],
    [12, 14.79, 15.79, 16.91],
  ])('the 80 %% interval of that boy %d months on: %d, %d, %d kg', (m, low, middle, high) => {
    const z = plainZ(lmsAt('CDC 2000', 'weight', 'male', 30), 14);
    const s = spread('weight', 30, m);
    const later = (k: number) =>
      valueAtZ(lmsAt('CDC 2000', 'weight', 'male', 30 + m), Math.sqrt(1 - s * s) * z + k * s);
    expect(later(-1.2816)).toBeCloseTo(low, 2);
    expect(later(0)).toBeCloseTo(middle, 2);
    expect(later(1.2816)).toBeCloseTo(high, 2);
  });
});

describe('a forecast', () => {
  const measures = fc.constantFrom<GrowthMeasure>('weight', 'height');
  const sexes = fc.constantFrom<Sex>('female', 'male');
  const values = (measure: GrowthMeasure) => fc.double({ min: -3, max: 3, noNaN: true }).map((z) => ({ measure, z }));

  test('is the definition, month for month', () => {
    fc.assert(
      fc.property(
        measures.chain(values),
        fc.integer({ min: 0, max: 239 }),
        sexes,
        fc.double({ min: 0.9, max: 2, noNaN: true }),
        ({ measure, z }, age, sex, factor) => {
          const value = valueAtZ(lmsAt(age < 24 ? 'WHO 2006' : 'CDC 2000', measure, sex, age), z);
          const limit = value * factor;
          const input = child({ measure, limit, value: exactly(value), age: exactly(age), sex });
          expect(monthsAhead(input)).toEqual(byDefinition(measure, limit, value, age, sex));
        },
      ),
      { numRuns: 2000 },
    );
  });

  test('over ranges is the earliest of the earliest, the earliest likely, the latest of the latest', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 60 }),
        fc.integer({ min: 0, max: 14 }),
        fc.double({ min: 0, max: 3, noNaN: true }),
        fc.option(sexes),
        fc.double({ min: 10, max: 30, noNaN: true }),
        (youngest, span, width, sex, limit) => {
          const value = { min: 6 + youngest / 6, max: 6 + youngest / 6 + width };
          const input = child({ limit, value, age: { min: youngest, max: youngest + span }, sex });
          const all: (readonly (number | null)[])[] = [];
          for (let age = youngest; age <= youngest + span; age++)
            for (const each of sex ? [sex] : (['female', 'male'] as const))
              for (const kg of [value.min, (value.min + value.max) / 2, value.max])
                all.push(byDefinition('weight', limit, kg, age, each));
          const column = (i: number) => all.map((row) => row[i] ?? Number.POSITIVE_INFINITY);
          const orNull = (n: number) => (Number.isFinite(n) ? n : null);
          expect(monthsAhead(input)).toEqual([
            orNull(Math.min(...column(0))),
            orNull(Math.min(...column(1))),
            orNull(Math.max(...column(2))),
          ]);
        },
      ),
      { numRuns: 300 },
    );
  });

  test('takes a value a hair over the limit, as sums of doubles give it, for one at it', () => {
    expect(monthsAhead(child({ limit: 14, value: exactly(14 + 1e-12) }))).toEqual(monthsAhead(child({ limit: 14 })));
  });

  test('puts a limit already passed in the month of asOf, and one just reached ahead', () => {
    const passed = { earliest: '2026-01', likely: '2026-01', latest: '2026-01' };
    expect(forecastLimit(child({ limit: 13.9 }))).toEqual(passed);
    expect(monthsAhead(child({ limit: 14 }))[0]).toBe(1);
    expect(monthsAhead(child({ limit: 14 - 1e-7 }))[0]).toBe(1);
    expect(monthsAhead(child({ limit: 14, value: { min: 13, max: 14.5 } })).slice(0, 2)).toEqual([0, 0]);
    expect(monthsAhead(child({ limit: 14, value: { min: 13, max: 14.5 } }))[2]).toBeGreaterThan(3);
  });

  test('looks 60 months ahead and no further', () => {
    expect(forecastLimit(child({ limit: 60 }))).toEqual({ earliest: null, likely: null, latest: null });
    const [earliest, , latest] = monthsAhead(child({ limit: lbToKg(50) }));
    expect(earliest).toBeLessThan(60);
    expect(latest).toBeNull();
  });

  test('stays on the WHO table to 60 months of age for a child measured under 24 months', () => {
    const toddler = child({ age: exactly(20), value: exactly(10.5), limit: 12.5 });
    const onCdc = (month: number) => plainZ(lmsAt('CDC 2000', 'weight', 'male', month), 12.5);
    const likely = monthsAhead(toddler)[1] as number;
    expect(20 + likely).toBeGreaterThan(24);
    expect(onCdc(20 + likely)).toBeLessThan(plainZ(lmsAt('WHO 2006', 'weight', 'male', 20 + likely), 12.5) - 0.1);
    expect(monthsAhead(toddler)).toEqual(byDefinition('weight', 12.5, 10.5, 20, 'male'));
    expect(monthsAhead(child({ age: exactly(20), value: exactly(9), limit: lbToKg(40) }))).toEqual([null, null, null]);
  });

  test('is absent past the table, and open at its late end where only some ages lie past it', () => {
    expect(forecastLimit(child({ age: exactly(241), value: exactly(20), limit: 21 }))).toEqual({
      earliest: null,
      likely: null,
      latest: null,
    });
    const partly = child({ age: { min: 190, max: 260 }, value: exactly(40), limit: 41 });
    expect(monthsAhead(partly)[0]).toBeGreaterThan(0);
    expect(monthsAhead(partly)[2]).toBeNull();
  });

  test('never lets regression to the mean put off the early date of a heavy child', () => {
    const heavy = valueAtZ(lmsAt('CDC 2000', 'weight', 'male', 30), 2);
    const limit = valueAtZ(lmsAt('CDC 2000', 'weight', 'male', 48), 2);
    expect(monthsAhead(child({ value: exactly(heavy), limit }))[0]).toBeLessThan(18);
  });

  test('counts months over the turn of the year', () => {
    expect(forecastLimit(child({ asOf: '2026-11-30' }))).toEqual({
      earliest: '2028-05',
      likely: '2029-01',
      latest: '2029-11',
    });
  });
});
