import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { LabelLimits } from '#dialogs/ears.ts';
import { inToCm, lbToKg } from '#shared/units.ts';
import { ears } from '../caregiver.ts';

const lb = (min: number | null, max: number | null): LabelLimits => ({
  ...(min !== null && { minWeightKg: lbToKg(min) }),
  ...(max !== null && { maxWeightKg: lbToKg(max) }),
});
const inches = (min: number | null, max: number): LabelLimits => ({
  ...(min !== null && { minHeightCm: inToCm(min) }),
  maxHeightCm: inToCm(max),
});

/** Messages of our own; a US label prints pounds and inches first (S-025). */
const SAID: readonly (readonly [language: 'en' | 'es', text: string, limits: LabelLimits])[] = [
  ['en', '5-40 lb, up to 43 in', { ...lb(5, 40), ...inches(null, 43) }],
  ['en', 'rear facing 5 to 40 pounds, 19-43 inches', { ...lb(5, 40), ...inches(19, 43) }],
  ['en', 'up to 40 pounds', lb(null, 40)],
  ['en', '40', lb(null, 40)],
  ['en', '5-40', lb(5, 40)],
  ['en', '22-65 lb & under 49"', { ...lb(22, 65), ...inches(null, 49) }],
  ['en', '40 lb / 43 in', { ...lb(null, 40), ...inches(null, 43) }],
  ['en', '22-40 lb (10-18 kg)', lb(22, 40)],
  ['en', 'at least 40 lb up to 100 lb', lb(40, 100)],
  ['en', 'max 18 kg', { maxWeightKg: 18 }],
  ['es', 'hasta 18 kg', { maxWeightKg: 18 }],
  ['es', 'de 2 a 18 kilos, maximo 109 cm', { minWeightKg: 2, maxWeightKg: 18, maxHeightCm: 109 }],
  ['es', '5 a 40 libras y 43 pulgadas', { ...lb(5, 40), ...inches(null, 43) }],
  ['es', '4-35 lb, hasta 32 pulgadas', { ...lb(4, 35), ...inches(null, 32) }],
];

describe('the limits on a label', () => {
  it.each(SAID)('%s: %s', (language, text, limits) => {
    const read = ears.limits(text, language, 'us');
    expect(Object.keys(read ?? {}).sort()).toEqual(Object.keys(limits).sort());
    for (const [field, value] of Object.entries(limits))
      expect(read?.[field as keyof LabelLimits]).toBeCloseTo(value as number, 9);
  });

  it.each(['no idea', '', 'the label is white'])('are not found in "%s"', (text) => {
    expect(ears.limits(text, 'en', 'us')).toBeNull();
  });

  it('keep a range said in one unit, whatever its figures', () => {
    fc.assert(
      fc.property(fc.integer({ min: 3, max: 30 }), fc.integer({ min: 31, max: 100 }), (min, max) => {
        const read = ears.limits(`${min}-${max} lb`, 'en', 'us');
        expect(read?.minWeightKg).toBeCloseTo(lbToKg(min), 9);
        expect(read?.maxWeightKg).toBeCloseTo(lbToKg(max), 9);
      }),
    );
  });
});
