/** Vehicle identification numbers by 49 CFR 565 (S-100 to S-121). */

const LENGTH = 17;
const CHECK_POSITION = 9;
const YEAR_POSITION = 10;
/** Positions that hold digits in every vehicle; light vehicles have one more (S-108). */
const SERIAL_DIGITS_FROM = 14;

/** Characters that count 0, 1, 2 … 9 in the check sum; I, O and Q are never used (S-101, S-102). */
const CHARACTERS_BY_VALUE = ['0', '1AJ', '2BKS', '3CLT', '4DMU', '5ENV', '6FW', '7GPX', '8HY', '9RZ'] as const;

/** Weight of each position in the check sum (S-103). */
const WEIGHTS = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2] as const;

/** Year codes in order from 1980; the cycle starts again after 30 years (S-109, S-110). */
const YEAR_CODES = 'ABCDEFGHJKLMNPRSTVWXY123456789';
const FIRST_CYCLE = 1980;

export interface VinFault {
  readonly reason: 'length' | 'character' | 'check-digit' | 'year-code' | 'serial';
  /** The bad position, 1 to 17; for a wrong length the first that is missing or too many. */
  readonly position: number;
  /** What stands there; empty where nothing does. */
  readonly found: string;
  /** The only character that could be right there, where there is one. */
  readonly expected: string | null;
}

export interface VinReading {
  readonly vin: string;
  /** Null where the year has to be asked. */
  readonly modelYear: number | null;
  /** Years that position 10 can mean, up to the model year after `asOf`. */
  readonly possibleYears: readonly number[];
  /** Why the year has to be asked; null where it need not. */
  readonly ask: 'future-year' | 'check-digit-differs' | 'no-year-code' | null;
}

export type VinResult = { ok: true; reading: VinReading } | { ok: false; fault: VinFault };

const isDigit = (character: string): boolean => character >= '0' && character <= '9';
/** −1 for a character that no VIN has. */
const checkValue = (character: string): number =>
  CHARACTERS_BY_VALUE.findIndex((characters) => characters.includes(character));

/** The check digit that belongs to a number of 17 allowed characters, whatever stands at position 9 (S-104). */
export const checkDigit = (vin: string): string => {
  const sum = WEIGHTS.reduce<number>((total, weight, i) => total + weight * checkValue(vin.charAt(i)), 0);
  return sum % 11 === 10 ? 'X' : String(sum % 11);
};

const fault = (
  reason: VinFault['reason'],
  vin: string,
  position: number,
  expected: string | null = null,
): VinResult => ({
  ok: false,
  fault: { reason, position, found: vin.charAt(position - 1), expected },
});

/** Makers of North America, whose numbers must follow the rule; elsewhere check digit and year code are optional (S-115). */
const isNorthAmerican = (vin: string): boolean => vin >= '1' && vin < '6';

/**
 * Reads a VIN as typed: blanks, hyphens and lower case are forgiven. `asOf` is a full date. The fault names the bad
 * position. The year is trusted only with a right check digit and no later than the model year after `asOf` (S-111, S-119).
 */
export const readVin = (typed: string, asOf: string): VinResult => {
  const vin = typed.replace(/[\s-]/g, '').toUpperCase();
  const bad = [...vin].findIndex((character) => checkValue(character) < 0);
  if (bad >= 0 && bad < LENGTH) return fault('character', vin, bad + 1);
  if (vin.length !== LENGTH) return fault('length', vin, Math.min(vin.length, LENGTH) + 1);

  const bound = isNorthAmerican(vin);
  const expected = checkDigit(vin);
  const checks = vin.charAt(CHECK_POSITION - 1) === expected;
  if (bound) {
    const letter = [...vin].findIndex((character, i) => i >= SERIAL_DIGITS_FROM - 1 && !isDigit(character));
    if (letter >= 0) return fault('serial', vin, letter + 1);
    if (!YEAR_CODES.includes(vin.charAt(YEAR_POSITION - 1))) return fault('year-code', vin, YEAR_POSITION);
    if (!checks) return fault('check-digit', vin, CHECK_POSITION, expected);
  }

  const lastYear = Number(asOf.slice(0, 4)) + 1;
  const code = YEAR_CODES.indexOf(vin.charAt(YEAR_POSITION - 1));
  const cycles = code < 0 ? [] : [FIRST_CYCLE + code, FIRST_CYCLE + YEAR_CODES.length + code];
  const year = isDigit(vin.charAt(6)) ? cycles[0] : cycles[1];
  const ask =
    year === undefined ? 'no-year-code' : !checks ? 'check-digit-differs' : year > lastYear ? 'future-year' : null;
  return {
    ok: true,
    reading: {
      vin,
      modelYear: ask === null ? (year as number) : null,
      possibleYears: cycles.filter((each) => each <= lastYear),
      ask,
    },
  };
};
