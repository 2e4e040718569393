import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { FINDING_CODES } from '#shared/finding-codes.ts';
import { createVoice } from '#src/desk/voice.ts';
import { createWords } from '#src/words/words.ts';

type Tree = { readonly [key: string]: string | Tree };

const LANGUAGES = ['en', 'es'] as const;

function flat(tree: Tree, at = ''): Map<string, string> {
  const entries = Object.entries(tree).flatMap(([key, value]): [string, string][] =>
    typeof value === 'string' ? [[at + key, value]] : [...flat(value, `${at}${key}.`)],
  );
  return new Map(entries);
}

const load = (language: string, file: string): Map<string, string> =>
  flat(JSON.parse(readFileSync(new URL(`../../../locales/${language}/${file}.json`, import.meta.url), 'utf8')));

const withoutPlural = (key: string): string => key.replace(/_(zero|one|two|few|many|other)$/, '');
const places = (text: string): string[] =>
  [...text.matchAll(/\{\{(\w+)\}\}/g)].map(([, name]) => name ?? '').toSorted();

describe.each(['desk', 'findings-technician'])('%s.json', (file) => {
  const english = load('en', file);

  it.each(LANGUAGES)('says in %s all that English says, with the same values, and nothing empty', (language) => {
    const words = load(language, file);
    expect(new Set([...words.keys()].map(withoutPlural))).toEqual(new Set([...english.keys()].map(withoutPlural)));
    for (const [key, text] of words) {
      expect(text.trim(), key).not.toBe('');
      const like = english.get(key) ?? english.get(`${withoutPlural(key)}_other`) ?? '';
      expect(places(text), key).toEqual(places(like));
    }
  });

  it.each(LANGUAGES)('has every plural form that %s can need', (language) => {
    const words = load(language, file);
    const { pluralCategories } = new Intl.PluralRules(language).resolvedOptions();
    const plurals = new Set([...words.keys()].filter((key) => key !== withoutPlural(key)).map(withoutPlural));
    for (const key of plurals)
      expect(
        pluralCategories.filter((category) => !words.has(`${key}_${category}`)),
        key,
      ).toEqual([]);
  });
});

it.each(LANGUAGES)('every finding has a title and what to check and do in %s, with its rule values', (language) => {
  const voice = createVoice(createWords(), language, 'us');
  for (const code of FINDING_CODES) {
    const { title, text } = voice.finding(code);
    expect(title.length, code).toBeGreaterThan(5);
    expect(text.length, code).toBeGreaterThan(20);
    expect(title + text, code).not.toMatch(/\{\{|\}\}|undefined|NaN/);
    // The desk never vouches for an installation nobody has seen.
    expect(title + text, code).not.toMatch(/\bis safe\b|\bes segura?\b/i);
  }
  expect(voice.finding('booster-too-soon').text).toContain(voice.measures.weight(18.1436948));
});
