import { inToCm, lbToKg } from '#shared/units.ts';
import type { Print } from './label-lines.ts';

type Dimension = 'weight' | 'height';
type System = 'us' | 'metric';

interface Unit {
  readonly dimension: Dimension;
  readonly system: System;
}

/** A span of weight or height in one system, as printed. */
interface Printed extends Unit {
  readonly start: number;
  readonly end: number;
  /** Null where one figure stands alone. */
  readonly low: number | null;
  readonly high: number;
}

/** A limit of a label in kg or cm, exactly converted from its first system. */
export interface PrintedLimit {
  readonly dimension: Dimension;
  readonly start: number;
  readonly end: number;
  readonly min: number | null;
  readonly max: number | null;
  /** Printed in both systems that agree; in one; in one beside something that was not read; or in two that contradict each other. */
  readonly proof: 'both' | 'one' | 'torn' | 'contradiction';
}

const UNITS: readonly (readonly [RegExp, Unit])[] = [
  [/^(?:lbs?|pounds?|libras?|livres?)\b\.?/, { dimension: 'weight', system: 'us' }],
  [/^(?:kgs?|kilograms?|kilogram[oe]s?|kilos?)\b\.?/, { dimension: 'weight', system: 'metric' }],
  [/^(?:inch(?:es)?|ins?\b\.?|pulgadas?|pulg\b\.?|pouces?|po\b\.?|''|")/, { dimension: 'height', system: 'us' }],
  [/^(?:cms?\b\.?|centimeters?|centimetr[oe]s?)/, { dimension: 'height', system: 'metric' }],
];

/** A decimal point may be lost to a space: "54 4 kg". */
const NUMBER = String.raw`\d{1,3}(?:[.,]\d{1,2}|\s\d(?=\s*(?:kg|-|y|a|to|et|and)\b))?`;
const TO = String.raw`(?:\s*-\s*|\s+(?:to|and|a|y|et|au?|hasta|jusqu'a)\s+)`;
const FIGURES = new RegExp(`(?<![\\d.,/])(${NUMBER})(?:${TO}(${NUMBER}))?\\s*(?=["'a-z])`, 'g');

const figure = (text: string): number => Number(text.replace(/[,\s]/, '.'));

function printedIn(text: string): readonly Printed[] {
  return [...text.matchAll(FIGURES)].flatMap((match) => {
    const at = match.index + match[0].length;
    const rest = text.slice(at);
    for (const [pattern, unit] of UNITS) {
      const word = pattern.exec(rest)?.[0];
      if (!word) continue;
      const [, first = '', second] = match;
      const low = second === undefined ? null : figure(first);
      return [{ ...unit, start: match.index, end: at + word.length, low, high: figure(second ?? first) }];
    }
    return [];
  });
}

/** What a US or metric restraint can be made for (common practice); print outside of it was misread or is about something else. */
const POSSIBLE = { weight: { least: 1.5, most: 75 }, height: { least: 35, most: 170 } } as const;

const converted = ({ dimension, system }: Unit, value: number): number =>
  system === 'metric' ? value : dimension === 'weight' ? lbToKg(value) : inToCm(value);

/** Labels round the second system to a whole or half kilogram or a centimetre (49 CFR 571.213 S5.5.2 gives both). */
const agree = (dimension: Dimension, a: number, b: number): boolean =>
  Math.abs(a - b) <= (dimension === 'weight' ? Math.max(0.55, 0.02 * a) : Math.max(1.3, 0.012 * a));

/** A small decimal point is lost before anything else: "23 kg" beside 5 lb is 2.3 kg, and proves it as well. */
const readings = ({ system }: Unit, value: number): readonly number[] =>
  system === 'metric' && Number.isInteger(value) && value > 9 ? [value, value / 10] : [value];

function together(first: Printed, second: Printed): boolean {
  const alike = (a: number | null, b: number | null): boolean =>
    a === null || b === null
      ? a === b
      : readings(first, a).some((one) =>
          readings(second, b).some((other) => agree(first.dimension, converted(first, one), converted(second, other))),
        );
  return alike(first.low, second.low) && alike(first.high, second.high);
}

const BETWEEN = /^\s*[([/,;.|{]*\s*$/;
/** What stands on the other side of a bracket is the other system, misread; so may the figure be before which one is torn off. */
const BRACKET_BEFORE = /(?:[([{]|\d[.,]?)\s*$/;
const BRACKET_AFTER = /^\s*[)\]}([{]/;
const ONE_AFTER_OTHER = /^\s*[)\]]?\s*(?:-|to|and|a|y|et|au?|hasta|jusqu'a)\s*$/;
const AT_LEAST =
  /(?:at least|min(?:imum|imo|imal)?\.?|no less than|mas de|plus de|over|more than|from|desde|a partir de|au moins|al menos)[\s:]*(?:weight|height|peso|poids|de)?[\s:]*$/;
const AND_UP = /^\s*[)\]]?\s*(?:or more|and (?:up|over|above)|o mas|y mas|ou plus|et plus|\+|min(?:imum|imo)?\b)/;

const LESS = /(?:less than|under|below|menos de|moins de)\s*$/;
const DENIED = /(?:do not use|never use|not for|no (?:lo |la )?use|n'utilis\w+ pas|ne pas utiliser)[^.!:]*$/;

interface Pair {
  readonly main: Printed;
  readonly start: number;
  readonly end: number;
  readonly proof: PrintedLimit['proof'];
}

function paired(text: string, printed: readonly Printed[]): readonly Pair[] {
  const pairs: Pair[] = [];
  for (let i = 0; i < printed.length; i++) {
    const main = printed[i] as Printed;
    const next = printed[i + 1];
    const beside =
      next?.dimension === main.dimension &&
      next.system !== main.system &&
      BETWEEN.test(text.slice(main.end, next.start));
    if (!beside || !next) {
      const torn = BRACKET_BEFORE.test(text.slice(0, main.start)) || BRACKET_AFTER.test(text.slice(main.end));
      pairs.push({ main, start: main.start, end: main.end, proof: torn ? 'torn' : 'one' });
      continue;
    }
    i += 1;
    const us = main.system === 'us' ? main : next;
    pairs.push({ main: us, start: main.start, end: next.end, proof: together(main, next) ? 'both' : 'contradiction' });
  }
  return pairs;
}

const WORST_FIRST: readonly PrintedLimit['proof'][] = ['contradiction', 'torn', 'one', 'both'];
const worse = (a: PrintedLimit['proof'], b: PrintedLimit['proof']): PrintedLimit['proof'] =>
  WORST_FIRST.find((proof) => proof === a || proof === b) ?? 'contradiction';

function limitOf(text: string, { main, start, end, proof }: Pair): PrintedLimit {
  const high = converted(main, main.high);
  const low = main.low === null ? null : converted(main, main.low);
  const before = text.slice(Math.max(0, start - 120), start);
  const least = AT_LEAST.test(before) || AND_UP.test(text.slice(end));
  // "Do not use for a child of more than 65 lb" prints the upper end, and "of less than 22 lb" the lower one.
  const lower = low === null && (DENIED.test(before) ? LESS.test(before) : least);
  const backwards = low !== null && low >= high;
  return {
    dimension: main.dimension,
    start,
    end,
    min: lower ? high : low,
    max: lower ? null : high,
    proof: backwards ? 'contradiction' : proof,
  };
}

const isPossible = ({ dimension, min, max }: PrintedLimit): boolean =>
  [min, max].every(
    (value) => value === null || (value >= POSSIBLE[dimension].least && value <= POSSIBLE[dimension].most),
  );

/** The limits that are printed, in order; "5 lb (2.3 kg) to 40 lb (18.1 kg)" is one. */
export function limitsIn({ text }: Print): readonly PrintedLimit[] {
  const limits: PrintedLimit[] = [];
  const pairs = paired(text, printedIn(text));
  for (let i = 0; i < pairs.length; i++) {
    const pair = pairs[i] as Pair;
    const next = pairs[i + 1];
    const joins =
      next?.main.dimension === pair.main.dimension &&
      pair.main.low === null &&
      next.main.low === null &&
      ONE_AFTER_OTHER.test(text.slice(pair.end, next.start));
    if (joins && next) {
      const [min, max] = [converted(pair.main, pair.main.high), converted(next.main, next.main.high)];
      const proof = min < max ? worse(pair.proof, next.proof) : 'contradiction';
      limits.push({ dimension: pair.main.dimension, start: pair.start, end: next.end, min, max, proof });
      i += 1;
    } else limits.push(limitOf(text, pair));
  }
  return limits.filter(isPossible);
}
