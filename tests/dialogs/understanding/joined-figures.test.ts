import { describe, expect, it } from 'vitest';
import { ears, TODAY } from '../caregiver.ts';

const read = (language: string, asked: 'weight' | 'height' | 'age' | 'language', text: string, ageMonths?: number) =>
  ears.read({ language, asked, text, context: { today: TODAY, units: 'us', ...(ageMonths && { ageMonths }) } });

/** Messages of our own. */
describe('a word that may be a decimal point or join two figures', () => {
  it.each([
    ['height', 'между 92 и 94 см', 38, { heightCm: [92, 94] }],
    ['weight', 'между 12 и 13 кг', 26, { weightKg: [12, 13] }],
    ['weight', '12 и 5 кг', 26, { weightKg: 12.5 }],
  ] as const)('ru, %s: %s', (asked, text, ageMonths, values) => {
    expect(read('ru', asked, text, ageMonths)).toEqual({ values, confidence: 'sure' });
  });
});

describe('"not this but that"', () => {
  it('means that, in Korean as elsewhere', () => {
    expect(read('ko', 'weight', '18 말고 16kg', 40).values).toEqual({ weightKg: 16 });
    expect(read('ko', 'age', '세 살 말고 네 살').values).toEqual({ ageMonths: [48, 59] });
    expect(read('ko', 'language', '한국어 말고 영어로').values).toEqual({ language: 'en' });
  });
});
