import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { OFFERED, readLabelPrint } from '#dialogs/understanding/label-print.ts';
import { inToCm, lbToKg } from '#shared/units.ts';

const TODAY = '2026-05-16';

const linesOf = (text: string, confidence = 0.95) =>
  text.split('\n').map((line) => line.split(' ').map((word) => ({ text: word, confidence })));

/** The values that would be offered. */
const read = (text: string, confidence?: number) =>
  Object.fromEntries(
    Object.entries(readLabelPrint(linesOf(text, confidence), TODAY))
      .filter(([, field]) => field.confidence >= OFFERED)
      .map(([path, { value }]) => [path, value]),
  );

describe('the print of a label', () => {
  it.each([
    ['Date of manufacture: 2021/05/14', '2021-05-14'],
    ['DOM 2021 05', '2021-05'],
    ['MFG DATE 05/2021', '2021-05'],
    ['Manufactured in May 2021', '2021-05'],
    ['Manufactured\n05/14/2021', '2021-05-14'],
    ['Fecha de fabricación: 14 de mayo de 2021', '2021-05-14'],
    ['Date de fabrication : MAI 2021', '2021-05'],
  ])('tells the date of manufacture: %s', (text, manufactureDate) => {
    expect(read(text)).toEqual({ manufactureDate });
  });

  it.each([
    ['Do not use after DECEMBER 2030', { expiryDate: '2030-12' }],
    ['Expires: 2030-12-31', { expiryDate: '2030-12-31' }],
    ['No usar después de diciembre de 2030', { expiryDate: '2030-12' }],
    ['Ne pas utiliser après 2030', { expiryDate: '2030' }],
    ['Useful life: 8 years', { usefulLifeYears: 8 }],
    ['Do not use after 10 years from\nthe date of manufacture', { usefulLifeYears: 10 }],
    ['Vida útil: 7 años', { usefulLifeYears: 7 }],
    ['Durée de vie utile : 9 ans', { usefulLifeYears: 9 }],
    ['Model No. KD-4471B', { modelNumber: 'KD-4471B' }],
    ['Modèle : QX 9', {}],
    ['For children at least 4 years old', {}],
  ])('tells the rest of the dates and the model: %s', (text, fields) => {
    expect(read(text)).toEqual(fields);
  });

  // The statements that 49 CFR 571.213 S5.5.2 asks for, in their order: pounds with kilograms, inches with centimetres.
  it('tells the limits of each way of riding from statements that run over lines', () => {
    const text = [
      'WARNING! Never place a rear-facing seat in front of an active air bag.',
      'Rear-facing: Use only with children who weigh between 5 and 40',
      'Ibs (2.3 and 18.1 kg) and whose height is 43 inches',
      '(109 cm) or less. Forward-facing: Use only with children who weigh between',
      '22 and 65 pounds (10 and 29.5 kg) and whose height is 49 in (124 cm) or less.',
      'Do not use the lower anchors for a child that weighs more than 45 lb (20.4 kg).',
    ].join('\n');
    expect(read(text)).toEqual({
      'modes.rear-facing.minWeightKg': lbToKg(5),
      'modes.rear-facing.maxWeightKg': lbToKg(40),
      'modes.rear-facing.maxHeightCm': inToCm(43),
      'modes.forward-facing.minWeightKg': lbToKg(22),
      'modes.forward-facing.maxWeightKg': lbToKg(65),
      'modes.forward-facing.maxHeightCm': inToCm(49),
    });
  });

  it('offers no value of which pounds and kilograms contradict each other', () => {
    expect(read('Booster: 40-100 lb (18-35 kg)')).toEqual({});
    expect(read('Rear-facing: 5 lb (2.3 kg) to 40 lb (78.1 kg)')).toEqual({});
  });

  it.each([
    ['whose kilograms cannot be made out', 'Booster: 40-100 lb (1B.1-45 4 ky)'],
    ['of which the beginning may be torn off', 'Booster: 1. 80-45.4 kg)'],
    ['that no seat states for this way of riding', 'Rear-facing: 22-65 lb (10-29.5 kg)'],
    ['beside other ones for the same way of riding', 'Booster: 40-100 lb (18.1-45.4 kg)\n30-80 lb (13.6-36.3 kg)'],
  ])('offers no limits %s', (_why, text) => {
    expect(read(text)).toEqual({});
  });

  it('offers no limits where a word before them was not made out and may name another way of riding', () => {
    const lines = linesOf('Rear-facing\nForwird-lxcimg 22-65 lb (10-29.5 kg)');
    const unsure = lines.map((line) =>
      line.map((word) => (word.text === 'Forwird-lxcimg' ? { ...word, confidence: 0.3 } : word)),
    );
    expect(Object.values(readLabelPrint(unsure, TODAY)).filter(({ confidence }) => confidence >= OFFERED)).toEqual([]);
  });

  it('takes kilograms that lost their decimal point for proof of the pounds beside them', () => {
    const said = (min: number, max: number) => ({
      'modes.rear-facing.minWeightKg': lbToKg(min),
      'modes.rear-facing.maxWeightKg': lbToKg(max),
    });
    expect(read('Rear-tacing: 5-40 lb (23-181 kg)', 0.8)).toEqual(said(5, 40));
    expect(read('Rear-facing: 4-30 lb (1.8-13 6 kg)', 0.8)).toEqual(said(4, 30));
    expect(read('Rear-facing: 5-40 lb (33-18.1 kg)', 0.8)).toEqual({});
  });

  it('offers nothing of print that was hardly read', () => {
    expect(read('Date of manufacture: 2021/05/14\nUseful life: 8 years\nBooster: 40-100 lb', 0.6)).toEqual({});
  });

  it('offers no date of manufacture still to come and no expiry before it', () => {
    expect(read('Date of manufacture: 2027/05')).toEqual({});
    expect(read('Date of manufacture: 2021/05\nExpires 2019/01')).toEqual({ manufactureDate: '2021-05' });
  });

  it('reads back every pair of limits in both systems, whatever a seat can have', () => {
    const lb = fc.tuple(fc.integer({ min: 18, max: 40 }), fc.integer({ min: 45, max: 120 }));
    fc.assert(
      fc.property(lb, ([low, high]) => {
        const kg = (pounds: number) => lbToKg(pounds).toFixed(1);
        expect(read(`Forward-facing: ${low}-${high} lb (${kg(low)}-${kg(high)} kg)`)).toEqual({
          'modes.forward-facing.minWeightKg': lbToKg(low),
          'modes.forward-facing.maxWeightKg': lbToKg(high),
        });
      }),
    );
  });

  it('reads any text without failing', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 300 }), (text) => {
        expect(readLabelPrint(linesOf(text), TODAY)).toBeTypeOf('object');
      }),
    );
  });
});
