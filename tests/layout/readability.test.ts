import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it, test } from 'vitest';
import { easeOfSpanish, gradeOfEnglish } from './readable.ts';

const GRADE = 6;
/** INFLESZ (Barrio Cantalejo 2008): from 65 up a text is "bastante fácil". */
const EASE = 65;
const FILES = ['chat', 'findings', 'take-home', 'page', 'pictures', 'poster', 'sms'];

/** The sentences of a language, by the top key they stand under; holes are filled with a short name. */
const sentences = (language: string, file: string): Map<string, string> => {
  const path = new URL(`../../locales/${language}/${file}.json`, import.meta.url);
  const groups = new Map<string, string>();
  const walk = (node: unknown, group: string): void => {
    if (typeof node !== 'string')
      for (const [key, value] of Object.entries(node as object)) walk(value, group === '' ? key : group);
    else if (/[.!?]$/.test(node))
      groups.set(group, `${groups.get(group) ?? ''}${node.replace(/\{\{\w+\}\}/g, 'Sam')} `);
  };
  if (existsSync(path)) walk(JSON.parse(readFileSync(path, 'utf8')), '');
  return groups;
};

const whole = (language: string, file: string): string => [...sentences(language, file).values()].join('');

describe('the measure', () => {
  // The worked example of the encyclopedia article on the Flesch-Kincaid tests (from memory): 16 words, 24 syllables.
  test('gives a sentence its published syllables and grade', () => {
    const text = 'This sentence, taken as a reading passage unto itself, is being used to prove a point.';
    expect(gradeOfEnglish(text)).toBeCloseTo(0.39 * 16 + 11.8 * (24 / 16) - 15.59, 6);
  });

  test('counts the syllables of Spanish words as their spelling divides them', () => {
    const syllables = (word: string) => Math.round(((206.835 - 1 - easeOfSpanish(word)) / 62.3) * 1000) / 1000;
    // Division of words: Ortografía de la lengua española (2010), from memory.
    for (const [word, count] of [
      ['niño', 2],
      ['asiento', 3],
      ['cinturón', 3],
      ['vehículo', 4],
      ['guía', 2],
      ['hacia', 2],
      ['aguanta', 3],
      ['etiqueta', 4],
      ['seguridad', 4],
      ['fabricante', 4],
      ['peor', 2],
      ['muy', 1],
    ] as const)
      expect(syllables(word), word).toBe(count);
  });
});

describe('what families read', () => {
  it.each(FILES)('is at US grade 6 or below in English: %s', (file) => {
    const text = whole('en', file);
    expect(text).not.toBe('');
    expect(gradeOfEnglish(text)).toBeLessThanOrEqual(GRADE);
  });

  it('is so in every part of the chat and for every finding', () => {
    for (const file of ['chat', 'findings'])
      for (const [group, text] of sentences('en', file)) expect(gradeOfEnglish(text), group).toBeLessThanOrEqual(GRADE);
  });

  it.each(FILES)('is easy by its own formula in Spanish: %s', (file) => {
    const text = whole('es', file);
    expect(text).not.toBe('');
    expect(easeOfSpanish(text)).toBeGreaterThanOrEqual(EASE);
  });
});
