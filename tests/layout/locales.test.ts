import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { QUESTIONS } from '#dialogs/questions/order.ts';
import { LANGUAGES } from '#dialogs/understanding/types.ts';
import { FINDING_CODES } from '#shared/finding-codes.ts';
import { RULES } from '#shared/rules/all-rules.ts';

const LOCALES = new URL('../../locales/', import.meta.url);
const languages = readdirSync(LOCALES);

type Texts = Record<string, string>;

/** The texts of a file; what is no text, like the flags of about.json, is left out. */
const flat = (node: unknown, at = ''): Texts => {
  if (typeof node === 'string') return { [at]: node };
  if (typeof node !== 'object' || node === null) return {};
  return Object.assign({}, ...Object.entries(node).map(([key, value]) => flat(value, at ? `${at}.${key}` : key)));
};

const read = (language: string, file: string): Texts =>
  flat(JSON.parse(readFileSync(new URL(`${language}/${file}`, LOCALES), 'utf8')));

const PLURAL = /_(zero|one|two|few|many|other)$/;
const WORDED = [
  'about.json',
  'chat.json',
  'desk.json',
  'findings.json',
  'findings-technician.json',
  'mail.json',
  'page.json',
  'pictures.json',
  'poster.json',
  'sms.json',
  'take-home.json',
];

/** At least two words beside the holes. */
const SENTENCE = /^(?:\{\{\w+\}\}|[^{])*?\p{L}{2,}[^\p{L}{]+\p{L}{2,}/u;

/** Keys with plural forms folded into one. */
const keys = (texts: Texts): string[] => [...new Set(Object.keys(texts).map((key) => key.replace(PLURAL, '')))].sort();

const holes = (text: string): string[] => [...text.matchAll(/\{\{(\w+)\}\}/g)].map(([, name]) => name as string).sort();

/** What a family may come to read, in every language. */
const FOR_FAMILIES = [
  'about.json',
  'chat.json',
  'checklists.json',
  'findings.json',
  'lexicon.json',
  'page.json',
  'pictures.json',
  'poster.json',
  'sms.json',
  'take-home.json',
];

describe('the languages', () => {
  it('are the twelve of the reader', () => {
    expect([...languages].sort()).toEqual([...LANGUAGES].sort());
  });

  it.each(languages)('have all that a family reads: %s', (language) => {
    expect(readdirSync(new URL(`${language}/`, LOCALES))).toEqual(expect.arrayContaining(FOR_FAMILIES));
  });
});

const translated = languages.flatMap((language) =>
  readdirSync(new URL(`${language}/`, LOCALES))
    .filter((file) => WORDED.includes(file) && language !== 'en')
    .map((file) => [language, file] as const),
);

describe.each(translated)('%s/%s', (language, file) => {
  const english = read('en', file);
  const own = read(language, file);

  it('says everything that English says, and nothing else', () => {
    expect(keys(own)).toEqual(keys(english));
  });

  it('leaves no sentence in English', () => {
    const left = Object.entries(own).filter(([key, text]) => text === english[key] && SENTENCE.test(text));
    expect(left).toEqual([]);
  });

  it('has a form for every plural category of the language', () => {
    const categories = new Intl.PluralRules(language).resolvedOptions().pluralCategories;
    const plural = keys(english).filter((key) => `${key}_other` in english);
    for (const key of plural) for (const category of categories) expect(own).toHaveProperty([`${key}_${category}`]);
  });

  it('keeps the values of every sentence, and leaves none empty', () => {
    for (const [key, text] of Object.entries(own)) {
      const model = english[key] ?? english[key.replace(PLURAL, '_other')] ?? '';
      expect(text.trim(), key).not.toBe('');
      expect(holes(text), key).toEqual(holes(model));
    }
  });
});

describe('the English of the findings', () => {
  it.each(['findings.json', 'findings-technician.json'])('has a title and a text for each: %s', (file) => {
    const titled = Object.keys(read('en', file)).map((key) => key.split('.')[0]);
    expect([...new Set(titled)].sort()).toEqual([...FINDING_CODES].sort());
  });
});

describe('the English of the chat', () => {
  const chat = read('en', 'chat.json');

  it('has a question, a reason, a way to find out and a topic for each question', () => {
    for (const { id } of QUESTIONS)
      for (const part of ['question', 'why', 'how', 'topic']) expect(chat).toHaveProperty([`${part}.${id}`]);
  });

  it('says what to do about every finding that may not wait', () => {
    const urgent = FINDING_CODES.filter((code) => RULES.get(code)?.urgencies.includes('before-next-trip'));
    expect(urgent.length).toBeGreaterThan(10);
    for (const code of urgent) {
      expect(chat).toHaveProperty([`danger.${code}`]);
      expect(chat).toHaveProperty([`danger-name.${code}`]);
    }
  });
});
