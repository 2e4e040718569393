import { describe, expect, it } from 'vitest';
import { type Lexicon, type Lexicons, lexiconSchema } from '#dialogs/understanding/lexicon.ts';
import { createReader } from '#dialogs/understanding/reader.ts';
import { ANSWERS, INTENTS, LANGUAGES, MODES } from '#dialogs/understanding/types.ts';
import en from '#locales/en/lexicon.json' with { type: 'json' };
import { loadLexicons } from '#src/locales/lexicons.ts';

const lexicons = loadLexicons();

describe.each(LANGUAGES)('the lexicon of %s', (language) => {
  const lexicon = lexicons[language];

  it('is of that language', () => {
    expect(lexicon.language).toBe(language);
  });

  it('has words for every mode, answer, intent, language, month, and for the units people use', () => {
    for (const mode of MODES) expect(lexicon.modes[mode], mode).not.toEqual([]);
    for (const answer of ANSWERS) expect(lexicon.answers[answer], answer).not.toEqual([]);
    for (const intent of INTENTS) expect(lexicon.intents[intent], intent).not.toEqual([]);
    for (const each of LANGUAGES) expect(lexicon.languages[each], each).not.toEqual([]);
    for (const month of lexicon.dates.months) expect(month).not.toEqual([]);
    for (const unit of ['lb', 'oz', 'kg', 'g', 'in', 'ft', 'cm', 'm', 'year', 'month', 'week', 'day'] as const)
      expect(lexicon.units[unit], unit).not.toEqual([]);
    for (const cue of [
      'weight',
      'height',
      'born',
      'at-birth',
      'limit',
      'made',
      'bought',
      'vehicle',
      'newborn',
    ] as const)
      expect(lexicon.cues[cue], cue).not.toEqual([]);
    for (const relation of ['almost', 'just-turned', 'about', 'to', 'correction', 'not', 'now', 'but'] as const)
      expect(lexicon.relations[relation], relation).not.toEqual([]);
    expect(lexicon.common.length).toBeGreaterThan(5);
  });

  it('gives no phrase two answers or two modes', () => {
    for (const section of [lexicon.answers, lexicon.modes]) {
      const phrases = Object.values(section).flat();
      expect(phrases.filter((phrase, index) => phrases.indexOf(phrase) !== index)).toEqual([]);
    }
  });
});

describe('the states', () => {
  it('are all named in English, with the District of Columbia', () => {
    expect(Object.keys(lexicons.en.states)).toHaveLength(51);
  });

  it.each(LANGUAGES)('are understood in %s by their English name and by code, as the answer to where', (language) => {
    const reader = createReader(lexicons);
    const names = Object.entries(lexicons.en.states).map(([state, [name]]) => [state, name ?? ''] as const);
    const missed = names.filter(([state, name]) => {
      const byName = reader.read({ language, asked: 'place', text: name });
      const byCode = reader.read({ language, asked: 'place', text: state.slice(3) });
      return byName.values.jurisdiction !== state || byCode.values.jurisdiction !== state;
    });
    expect(missed).toEqual([]);
  });
});

describe('a lexicon', () => {
  it('with a key nobody knows, or without a section, is refused', () => {
    expect(lexiconSchema.safeParse({ ...en, colours: 'red' }).success).toBe(false);
    expect(lexiconSchema.safeParse({ ...en, units: { ...en.units, cubit: 'cubit' } }).success).toBe(false);
    const { relations: _, ...rest } = en;
    expect(lexiconSchema.safeParse(rest).success).toBe(false);
  });

  it('with a bracket left open is refused when the language is first read', () => {
    const broken = { ...lexicons.en, common: [], units: { ...lexicons.en.units, lb: ['pound(s'] } };
    const reader = createReader({ ...lexicons, en: broken });
    expect(() => reader.read({ language: 'en', asked: 'weight', text: '28 pounds' })).toThrow('pound(s');
  });

  it('is all that one more language needs', () => {
    const empty = (section: Readonly<Record<string, unknown>>): Record<string, string> =>
      Object.fromEntries(Object.keys(section).map((key) => [key, '']));
    const italian: Lexicon = lexiconSchema.parse({
      ...en,
      writing: { apostrophe: 'split' },
      numbers: {
        words: { '1': 'un|uno|una', '2': 'due', '3': 'tre', '12': 'dodici', '20': 'venti', '28': 'ventotto' },
        times: { '100': 'cento' },
        and: '',
        point: 'virgola',
        fractions: { '0.5': 'e mezzo|e mezza' },
      },
      units: {
        ...empty(en.units),
        lb: 'libbre|libbra',
        kg: 'chili|chilo|kg',
        cm: 'centimetri|cm',
        m: 'metro',
        year: 'anni|anno',
        month: 'mesi|mese',
      },
      quantities: {},
      relations: {
        ...empty(en.relations),
        almost: 'quasi',
        correction: 'anzi|scusi',
        to: 'a',
        and: 'e',
        between: 'tra',
        about: 'circa',
        now: 'adesso',
        but: 'ma',
        not: 'non',
      },
      cues: {
        ...empty(en.cues),
        weight: 'pesa',
        'at-birth': 'alla nascita',
        'this-child': 'mia figlia|mio figlio',
        limit: 'fino a',
        seat: 'seggiolino',
      },
      modes: { ...empty(en.modes), 'rear-facing': 'contro il senso di marcia', 'lap-held': 'in braccio' },
      answers: { yes: 'si|certo', no: 'no', unsure: 'non lo so|boh' },
      intents: { ...empty(en.intents), person: 'parlare con una persona' },
    });
    const reader = createReader({ ...lexicons, it: italian } as Lexicons);
    const read = (asked: 'weight' | 'age' | 'yes-no' | null, text: string) =>
      reader.read({ language: 'it', asked, text, context: { today: '2026-05-16', units: 'metric' } });
    expect(read('weight', 'dodici chili e mezzo')).toEqual({ values: { weightKg: 12.5 }, confidence: 'sure' });
    expect(read('weight', '13, anzi 12 chili')).toEqual({ values: { weightKg: 12 }, confidence: 'sure' });
    expect(read('weight', 'tra 12 e 13 chili')).toEqual({ values: { weightKg: [12, 13] }, confidence: 'sure' });
    expect(read('weight', 'alla nascita 3 chili, adesso 12 chili')).toEqual({
      values: { weightKg: 12 },
      confidence: 'sure',
    });
    expect(read('age', 'quasi tre anni')).toEqual({ values: { ageMonths: [33, 35] }, confidence: 'sure' });
    expect(read('yes-no', 'certo')).toEqual({ values: { answer: 'yes' }, confidence: 'sure' });
    expect(read(null, 'mia figlia 2 anni e mezzo pesa 13 kg, contro il senso di marcia')).toEqual({
      values: { ageMonths: [30, 35], weightKg: 13, mode: 'rear-facing' },
      confidence: 'sure',
    });
  });
});
