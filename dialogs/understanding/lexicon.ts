import { z } from 'zod';
import { ANSWERS, INTENTS, LANGUAGES, type Language, MODES, SEAT_KINDS } from './types.ts';

/**
 * Phrases parted by "|". In a phrase: `stem*` takes any ending, `…` up to three words, `(word)` may be left out, a leading
 * `~` allows the phrase inside a word written in syllables, a closing `#` asks for the end of such a word.
 */
const phrases = z.union([z.string(), z.array(z.string())]).transform((given) =>
  (typeof given === 'string' ? [given] : given)
    .flatMap((line) => line.split('|'))
    .map((phrase) => phrase.trim())
    .filter((phrase) => phrase !== ''),
);

const keyed = <const T extends readonly string[]>(keys: T) => z.record(z.enum(keys), phrases);
const numeric = z.record(z.string().regex(/^-?\d+(\.\d+)?$/), phrases);

export const UNIT_IDS = [
  'lb', 'oz', 'kg', 'g', 'jin', 'liang', 'stone',
  'in', 'ft', 'cm', 'm', 'mm', 'dm', 'chi', 'cun',
  'year', 'month', 'week', 'day',
] as const; // biome-ignore format: grouped by dimension
export type UnitId = (typeof UNIT_IDS)[number];

export const RELATIONS = [
  'almost', 'just-turned', 'about', 'more-than', 'less-than',
  'bound', 'a-little', 'between', 'to', 'and', 'or', 'correction', 'not',
  'now', 'but', 'past', 'turning', 'hedge',
] as const; // biome-ignore format: one list
export const CUES = [
  'weight', 'height', 'age', 'born', 'at-birth', 'limit', 'turned', 'since', 'duration', 'made', 'bought', 'expiry',
  'vehicle', 'seat', 'other-child', 'this-child', 'ignore', 'newborn', 'counting-age', 'old',
  'lacks', 'question', 'future', 'partly', 'knowing', 'courtesy', 'tenure', 'elsewhere', 'residence', 'several', 'feast', 'reached', 'gain', 'filler', 'cannot', 'moved', 'so', 'sold', 'typed', 'adult', 'relative',
] as const; // biome-ignore format: one list
export const FEATURES = ['rear', 'forward', 'booster', 'harness', 'only', 'not', 'belt'] as const;

const states = z.record(z.string().regex(/^US-[A-Z]{2}$/), phrases);

/** All that the reader knows of one language; adding a language means writing one of these and nothing else. */
export const lexiconSchema = z.strictObject({
  language: z.enum(LANGUAGES),
  writing: z.strictObject({
    apostrophe: z.enum(['join', 'split']),
    /** An accented word is only taken for the entry with the same accents. */
    strictAccents: z.boolean().default(false),
    variants: z.record(z.string(), z.string()).default({}),
    /** Words written onto the next one: parted off, or dropped. */
    proclitics: z.strictObject({ part: phrases, drop: phrases }).default({ part: [], drop: [] }),
  }),
  numbers: z.strictObject({
    words: numeric,
    /** Number words that are also common words, or parts of them: they count only right before a unit. */
    boundWords: numeric.default({}),
    times: numeric.default({}),
    and: phrases.default([]),
    point: phrases.default([]),
    /** Said after a number or its unit: "and a half". */
    fractions: numeric,
    /** Said before a unit: "half a". */
    partOf: numeric.default({}),
    unitsBeforeTens: z.boolean().default(false),
    digitPairs: z.boolean().default(false),
    teensAfter: z.array(z.number()).default([]),
    yearPairs: z.boolean().default(false),
  }),
  units: keyed(UNIT_IDS),
  /** Words that hold a number and a unit: a dual, "two-years". */
  quantities: z.record(z.string(), phrases).default({}),
  unitOrder: z.strictObject({
    /** Units that may stand before their number. */
    before: z.array(z.enum(UNIT_IDS)).default([]),
    /** Words allowed between a number and its unit. */
    linkers: phrases.default([]),
    /** Unit words that mean one of it when no number is said. */
    impliedOne: phrases.default([]),
    /** What one digit after the metre, or the kilogram, counts. */
    digitAfterMetre: z.enum(['tenth', 'centimetre']),
  }),
  dates: z.strictObject({
    months: z.array(phrases).length(12),
    before: z.strictObject({ year: phrases, month: phrases, day: phrases }),
    after: z.strictObject({ year: phrases, month: phrases, day: phrases }),
    linkers: phrases,
    ordinals: phrases,
    relativeYears: numeric,
    relativeMonths: numeric.default({}),
    relativeDays: numeric.default({}),
    yearFirst: z.boolean().default(false),
    /** "2016年买的": what a year means is said after it. */
    cuesFollow: z.boolean().default(false),
    monthFirst: z.enum(['always', 'with-us-units', 'never']).default('never'),
  }),
  relations: keyed(RELATIONS),
  cues: keyed(CUES),
  modes: keyed(MODES),
  seatKinds: keyed(SEAT_KINDS),
  features: keyed(FEATURES),
  answers: keyed(ANSWERS),
  intents: keyed(INTENTS),
  states,
  /** Cities or other names that hold a state's name and are none. */
  notStates: phrases.default([]),
  languages: keyed(LANGUAGES),
  languageRequest: phrases,
  /** Frequent words that tell this language from the others. */
  common: phrases,
});

export type Lexicon = z.infer<typeof lexiconSchema>;
export type Lexicons = Readonly<Record<Language, Lexicon>>;
