import { describe, expect, it } from 'vitest';
import { createMeasures, unitsFor } from '#src/desk/measures.ts';

const us = createMeasures('en', 'us');
const metric = createMeasures('es', 'metric');

describe('a measure in words', () => {
  // NIST SP 811, appendix B: 1 lb = 0.45359237 kg and 1 in = 2.54 cm, both exact.
  it('stands in both systems, that of the place first', () => {
    expect(us.weight(40 * 0.45359237)).toBe('40 lb (18.1 kg)');
    expect(us.length(57 * 2.54)).toBe('57 in (144.8 cm)');
    expect(metric.weight(18)).toBe('18 kg (39,7 lb)');
    expect(metric.length({ min: 84, max: 88 })).toBe('84-88 cm (33,1-34,6 in)');
  });

  it.each([
    ['US-CA', 'us'],
    [null, 'us'],
    ['', 'us'],
    ['DE', 'metric'],
  ] as const)('of the place %s is in %s units first', (place, units) => expect(unitsFor(place)).toBe(units));

  it.each([
    [0, '0 months'],
    [1, '1 month'],
    [23, '23 months'],
    [24, '2 years'],
    [25, '2 years 1 month'],
    [{ min: 5, max: 7 }, '5–7 months'],
    [{ min: 36, max: 47 }, '3 years (36–47 months)'],
    [{ min: 40, max: 50 }, '3 years 4 months – 4 years 2 months'],
  ])('an age of %j months is %s', (months, words) => expect(us.age(months)).toBe(words));

  it.each([
    ['2024', '2024'],
    ['2024-03', 'March 2024'],
    ['2024-03-10', 'March 10, 2024'],
  ])('a date keeps the precision it has: %s', (date, words) => expect(us.date(date)).toBe(words));

  it('an instant stands in the time of its place', () => {
    expect(us.instant('2026-05-16T04:30:00.000Z', 'America/Los_Angeles')).toBe('May 15, 2026, 9:30 PM PDT');
  });

  it('a language that is none is shown as it is', () => {
    expect(us.languageName('ht')).toBe('Haitian Creole');
    expect(us.languageName('<b>')).toBe('<b>');
  });
});
