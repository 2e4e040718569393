import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { normalise } from '#dialogs/understanding/normalise.ts';
import { createReader, LONGEST_MESSAGE } from '#dialogs/understanding/reader.ts';
import { ASKED_SLOTS, type AskedSlot, LANGUAGES, type Language, type Reading } from '#dialogs/understanding/types.ts';
import { loadLexicons } from '#src/locales/lexicons.ts';
import { devCases, reader } from './sets.ts';

const language = fc.constantFrom(...LANGUAGES);
const asked = fc.constantFrom<AskedSlot | null>(...ASKED_SLOTS, null);
const context = fc.record(
  {
    today: fc.constant('2026-05-16'),
    ageMonths: fc.integer({ min: 0, max: 200 }),
    units: fc.constantFrom('us', 'metric'),
  },
  { requiredKeys: ['today'] },
);
const corpus = devCases();
const words = corpus.flatMap(({ text }) => text.split(/(?<=\s)/));
/** Words of all the languages, numbers and marks in any order: what random text can best confuse a grammar with. */
const salad = fc
  .array(
    fc.oneof(
      fc.constantFrom(...words),
      fc.integer({ min: 0, max: 3000 }).map(String),
      fc.constantFrom(' ', ',', '. ', '-', '/', "'", '"', '½', ' y ', 'kg ', 'lb ', '\n'),
    ),
    { maxLength: 25 },
  )
  .map((parts) => parts.join(''));
const text = fc.oneof(salad, fc.string({ unit: 'binary', maxLength: 200 }), fc.string({ maxLength: 200 }));

const isFinitePair = (value: unknown): boolean =>
  [value].flat().every((each) => typeof each === 'number' && Number.isFinite(each) && each >= 0);

const checkShape = ({ values, confidence, intent }: Reading): void => {
  expect(['sure', 'confirm', 'none']).toContain(confidence);
  if (values.weightKg !== undefined) expect(isFinitePair(values.weightKg)).toBe(true);
  if (values.heightCm !== undefined) expect(isFinitePair(values.heightCm)).toBe(true);
  if (values.ageMonths) expect(values.ageMonths[0]).toBeLessThanOrEqual(values.ageMonths[1]);
  for (const date of [values.birthDate, values.date]) if (date) expect(date).toMatch(/^\d{4}-\d{2}(-\d{2})?$/);
  if (confidence === 'none') expect([Object.keys(values).length, intent]).toEqual([0, undefined]);
};

/** Whether a message has anything a number could be read from: a digit, or a word of a lexicon's number sections. */
const numberWords = (() => {
  const lexicons = loadLexicons();
  const collect = (codes: readonly Language[]) =>
    codes.flatMap((code) => {
      const { numbers, quantities, unitOrder, cues, dates } = lexicons[code];
      return [
        ...Object.values(numbers.words),
        ...Object.values(numbers.boundWords),
        ...Object.values(numbers.times),
        ...Object.values(numbers.partOf),
        ...Object.values(quantities),
        ...Object.values(dates.relativeDays),
        ...Object.values(dates.relativeMonths),
        unitOrder.impliedOne,
        cues.newborn,
      ].flat();
    });
  const letters = (each: string) =>
    normalise(each)
      .toLowerCase()
      .replace(/[^\p{L}]/gu, '');
  return new Map(LANGUAGES.map((code) => [code, collect([code, 'en']).map((phrase) => letters(phrase).slice(0, 4))]));
})();

const holdsNumber = (code: Language, message: string): boolean => {
  const plain = normalise(message).toLowerCase();
  const folded = plain.normalize('NFD').replace(/\p{M}/gu, '');
  const bare = (each: string) => each.replace(/[^\p{L}]/gu, '');
  return (
    /\d/.test(plain) ||
    (numberWords.get(code) ?? []).some(
      (start) =>
        start !== '' &&
        (bare(plain).includes(start) || bare(folded).includes(start.normalize('NFD').replace(/\p{M}/gu, ''))),
    )
  );
};

describe('any text at all', () => {
  it('is read without throwing, into values of the right shape', () => {
    fc.assert(
      fc.property(language, asked, text, context, (code, slot, message, given) => {
        checkShape(reader.read({ language: code, asked: slot, text: message, context: given as never }));
        reader.recogniseLanguage(message);
      }),
      { numRuns: 4000 },
    );
  });

  it('gives no number as sure that the text does not contain', () => {
    fc.assert(
      fc.property(language, asked, text, context, (code, slot, message, given) => {
        const { values, confidence } = reader.read({
          language: code,
          asked: slot,
          text: message,
          context: given as never,
        });
        const counted = ['weightKg', 'heightCm', 'ageMonths', 'birthDate', 'date', 'vehicleYear'] as const;
        if (confidence === 'sure' && counted.some((key) => values[key] !== undefined))
          expect(holdsNumber(code, message), message).toBe(true);
      }),
      { numRuns: 4000 },
    );
  });

  it('gives the same reading twice', () => {
    const again = createReader(loadLexicons());
    fc.assert(
      fc.property(language, asked, salad, (code, slot, message) => {
        const request = { language: code, asked: slot, text: message };
        expect(again.read(request)).toEqual(reader.read(request));
      }),
      { numRuns: 500 },
    );
  });

  it('longer than a message may be says nothing', () => {
    const long = '28 lb '.repeat(LONGEST_MESSAGE);
    expect(reader.read({ language: 'en', asked: 'weight', text: long })).toEqual({ values: {}, confidence: 'none' });
  });
});

const ADVERSARIAL: readonly (readonly [string, Language, string])[] = [
  ['digits', 'en', '1'],
  ['numbers', 'en', '28 '],
  ['quantities', 'en', '28 lb '],
  ['number words', 'en', 'twenty two '],
  ['one glued word', 'en', 'twentythree'],
  ['letters', 'en', 'a'],
  ['misspelt words', 'en', 'poundx kilogramx '],
  ['unknown words', 'fr', 'zzzzzzzz '],
  ['slashes', 'es', '1/'],
  ['dates', 'es', '3/4/2021 '],
  ['corrections', 'en', 'no wait sorry 28 '],
  ['distractors', 'en', 'she was born at 7 lb and '],
  ['gapped phrases', 'en', 'booster harness not dont click snap '],
  ['characters', 'zh-Hans', '二十'],
  ['syllables', 'ko', '십삼키로'],
  ['proclitics', 'ar', 'وبال'],
  ['hyphens', 'ru', '-'],
  ['points', 'pt-BR', '1.1'],
  ['marks', 'vi', ', '],
  ['accents', 'vi', 'ế́'],
  ['linkers', 'tl', 'na ng po '],
  ['units before numbers', 'so', 'kg '],
];

const milliseconds = (run: () => unknown): number => {
  const start = process.cpuUsage();
  run();
  const { user, system } = process.cpuUsage(start);
  return (user + system) / 1000;
};

describe('work on a hostile message', () => {
  it.each(ADVERSARIAL)('of %s in %s grows no faster than its length', (_, code, unit) => {
    const ofLength = (length: number) => unit.repeat(Math.ceil(length / unit.length)).slice(0, length);
    const time = (length: number) => {
      const message = ofLength(length);
      const runs = Array.from({ length: 3 }, () =>
        milliseconds(() => {
          for (const slot of ['weight', null] as const) reader.read({ language: code, asked: slot, text: message });
        }),
      );
      return Math.min(...runs);
    };
    time(500);
    // Twice the length may take twice the time; quadratic work would take four times. Both ends sit well above the clock's grain.
    const half = Math.max(time(LONGEST_MESSAGE / 2), 5);
    expect(time(LONGEST_MESSAGE) / half).toBeLessThan(3.2);
  });
});
