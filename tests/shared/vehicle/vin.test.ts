import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { checkDigit, readVin } from '#shared/vehicle/vin.ts';

// Source: 49 CFR 565 (S-100 to S-121 of the source list); the examples are S-116 to S-121.

const asOf = '2026-05-16';
const reading = (vin: string, day = asOf) => {
  const result = readVin(vin, day);
  if (!result.ok) throw new Error(`${result.fault.reason} at ${result.fault.position}`);
  return result.reading;
};
const fault = (vin: string) => {
  const result = readVin(vin, asOf);
  if (result.ok) throw new Error('accepted');
  return result.fault;
};

/** Check sum by the tables of the regulation, spelled out a second time. */
const VALUES: Readonly<Record<string, number>> = {
  ...{ A: 1, B: 2, C: 3, D: 4, E: 5, F: 6, G: 7, H: 8, J: 1, K: 2, L: 3, M: 4, N: 5, P: 7, R: 9 },
  ...{ S: 2, T: 3, U: 4, V: 5, W: 6, X: 7, Y: 8, Z: 9 },
  ...Object.fromEntries(Array.from({ length: 10 }, (_, d) => [String(d), d])),
};
const POSITION_WEIGHTS = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];
const checkSum = (vin: string) =>
  POSITION_WEIGHTS.reduce((sum, weight, i) => sum + weight * (VALUES[vin[i] as string] as number), 0);

describe('published examples', () => {
  test.each([
    ['S-116', '11111111111111111', 89, '1', 2001],
    ['S-117', '1M8GDM9AXKP042788', 351, 'X', 1989],
    ['S-118', '1G4AH59H45G118341', 411, '4', 2005],
    ['S-120', '5GZCZ43D13S812715', 408, '1', 2003],
    ['S-121', '1ZZAB1C39AA000001', 196, '9', 2010],
    ['S-121', '1ZZAB1430AA000001', 198, '0', 1980],
    ['S-121', '1ZZAB1C35TA000001', 214, '5', 2026],
  ])('%s: %s has the sum %d, check digit %s, model year %d', (_, vin, sum, digit, year) => {
    expect(checkSum(vin)).toBe(sum);
    expect(checkDigit(vin)).toBe(digit);
    expect(reading(vin)).toMatchObject({ vin, modelYear: year, ask: null });
  });

  test('S-119: a right check digit but a year to come: the year is not trusted but asked', () => {
    const vin = 'LJCPCBLCX11000237';
    expect(checkSum(vin)).toBe(186);
    expect(checkDigit(vin)).toBe('X');
    expect(reading(vin)).toEqual({ vin, modelYear: null, possibleYears: [2001], ask: 'future-year' });
    expect(reading(vin, '2030-01-01')).toMatchObject({ modelYear: 2031, possibleYears: [2001, 2031], ask: null });
  });
});

describe('year codes', () => {
  // Table VII, S-110: first and second cycle.
  const CODES =
    'A 1980/2010, B 81/11, C 82/12, D 83/13, E 84/14, F 85/15, G 86/16, H 87/17, J 88/18, K 89/19, L 90/20, M 91/21, ' +
    'N 92/22, P 93/23, R 94/24, S 95/25, T 96/26, V 97/27, W 98/28, X 99/29, Y 2000/30, 1 01/31, 2 02/32, 3 03/33, ' +
    '4 04/34, 5 05/35, 6 06/36, 7 07/37, 8 08/38, 9 09/39';
  const withCheck = (vin: string) => vin.slice(0, 8) + checkDigit(vin) + vin.slice(9);
  const century = (year: number) => (year >= 100 ? year : year >= 80 ? 1900 + year : 2000 + year);

  test.each(
    CODES.split(', ').map((entry) => {
      const [code = '', years = ''] = entry.split(' ');
      const [first = 0, second = 0] = years.split('/').map((y) => century(Number(y)));
      return [code, first, second] as const;
    }),
  )('%s is %d with a digit in position 7 and %d with a letter', (code, first, second) => {
    expect(reading(withCheck(`1ZZAB1400${code}A000001`), '2040-01-01').modelYear).toBe(first);
    expect(reading(withCheck(`1ZZAB1C00${code}A000001`), '2040-01-01').modelYear).toBe(second);
  });

  test.each(['U', 'Z', '0'])('%s is none: a fault in position 10 of a North American number', (code) => {
    expect(fault(withCheck(`1ZZAB1C00${code}A000001`))).toEqual({
      reason: 'year-code',
      position: 10,
      found: code,
      expected: null,
    });
  });

  test('the model year after this one is sold already, the one after that is not', () => {
    expect(reading(withCheck('1ZZAB1C00VA000001')).modelYear).toBe(2027);
    expect(reading(withCheck('1ZZAB1C00WA000001'))).toMatchObject({
      modelYear: null,
      possibleYears: [1998],
      ask: 'future-year',
    });
  });
});

describe('faults name the bad position', () => {
  test.each([
    ['I', 3, '1MIGDM9AXKP042788'],
    ['O', 12, '1M8GDM9AXKPO42788'],
    ['Q', 17, '1M8GDM9AXKP04278Q'],
    ['_', 9, '1M8GDM9A_KP042788'],
    ['É', 5, '1M8GÉM9AXKP042788'],
  ])('%s in position %d is no VIN character', (found, position, vin) => {
    expect(fault(vin)).toEqual({ reason: 'character', position, found, expected: null });
  });

  test('too short and too long', () => {
    expect(fault('1M8GDM9AXKP04278')).toEqual({ reason: 'length', position: 17, found: '', expected: null });
    expect(fault('1M8GDM9AXKP0427889')).toEqual({ reason: 'length', position: 18, found: '9', expected: null });
    expect(fault('1M8GDM9AXKP042788O')).toMatchObject({ reason: 'length', position: 18 });
    expect(fault('')).toEqual({ reason: 'length', position: 1, found: '', expected: null });
  });

  test('a letter in the last four of a North American number', () => {
    expect(fault('1M8GDM9AXKP0427B8')).toEqual({ reason: 'serial', position: 16, found: 'B', expected: null });
    expect(fault('1M8GDM9AXKP04B788')).toMatchObject({ reason: 'serial', position: 14 });
    expect(fault('1M8GDM9AXKP0B2788')).toMatchObject({ reason: 'check-digit' });
  });

  test('a wrong check digit, with the one that would be right', () => {
    expect(fault('1M8GDM9A1KP042788')).toEqual({ reason: 'check-digit', position: 9, found: '1', expected: 'X' });
  });

  test('but outside North America a check digit that differs only means that the year is asked (S-115)', () => {
    expect(reading('WJCPCBLC211000237')).toMatchObject({ modelYear: null, ask: 'check-digit-differs' });
    expect(fault('5JCPCBLC211000237')).toMatchObject({ reason: 'check-digit' });
    expect(reading('6JCPCBLC211000237')).toMatchObject({ modelYear: null, ask: 'check-digit-differs' });
    expect(reading('WJCPCBLC101000237')).toMatchObject({ modelYear: null, possibleYears: [], ask: 'no-year-code' });
  });
});

describe('any number', () => {
  const character = fc.constantFrom(...Object.keys(VALUES));
  const digits = fc.stringMatching(/^\d{4}$/);
  const northAmerican = fc
    .tuple(
      fc.constantFrom('1', '2', '3', '4', '5'),
      fc.array(character, { minLength: 7, maxLength: 7 }),
      fc.constantFrom(...'ABCDEFGHJKLMNPRSTVWXY123456789'),
      fc.array(character, { minLength: 3, maxLength: 3 }),
      digits,
    )
    .map(([first, attributes, year, plant, serial]) => {
      const vin = `${first}${attributes.join('')}0${year}${plant.join('')}${serial}`;
      const rest = checkSum(vin) % 11;
      return `${vin.slice(0, 8)}${rest === 10 ? 'X' : rest}${vin.slice(9)}`;
    });

  test('with a right check digit is read, blanks, hyphens and small letters forgiven', () => {
    fc.assert(
      fc.property(northAmerican, (vin) => {
        expect(reading(vin).vin).toBe(vin);
        expect(reading(` ${vin.slice(0, 3).toLowerCase()}-${vin.slice(3)} `)).toEqual(reading(vin));
      }),
    );
  });

  test('with one digit of the serial mistyped is refused at the check digit', () => {
    fc.assert(
      fc.property(northAmerican, fc.integer({ min: 13, max: 16 }), fc.integer({ min: 1, max: 9 }), (vin, at, by) => {
        const other = (Number(vin[at]) + by) % 10;
        expect(fault(`${vin.slice(0, at)}${other}${vin.slice(at + 1)}`)).toMatchObject({
          reason: 'check-digit',
          position: 9,
        });
      }),
    );
  });

  test('of any text never throws', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 30 }), (text) => {
        const result = readVin(text, asOf);
        if (!result.ok) expect(result.fault.position).toBeGreaterThan(0);
      }),
    );
  });
});
