import { describe, expect, it } from 'vitest';
import { LANGUAGES } from '#dialogs/understanding/types.ts';
import usLaws from '#shared/laws/us.json' with { type: 'json' };
import { createEars } from '#src/locales/ears.ts';
import { quantityWords } from '#src/words/quantities.ts';

const ears = createEars();
const CODES = usLaws.jurisdictions.map(({ code }) => code);
const said = (language: string, code: string): string => quantityWords(language, { kind: 'place', code }, () => '');

describe('the names of states', () => {
  // Names as atlases and newspapers of each language write them, from memory.
  it.each([
    ['en', 'US-NY', 'New York'],
    ['es', 'US-NY', 'Nueva York'],
    ['fr', 'US-CA', 'Californie'],
    ['pt-BR', 'US-PA', 'Pensilvânia'],
    ['ht', 'US-FL', 'Florid'],
    ['ar', 'US-TX', 'تكساس'],
    ['ru', 'US-ND', 'Северная Дакота'],
    ['zh-Hans', 'US-WA', '华盛顿州'],
    ['ko', 'US-NJ', '뉴저지'],
    ['vi', 'US-TX', 'Texas'],
  ])('are those of the language: %s %s', (language, code, name) => {
    expect(said(language, code)).toBe(name);
  });

  it.each(LANGUAGES)('are heard as that state when they are said back: %s', (language) => {
    const heard = CODES.map((code) => {
      const text = said(language, code);
      return [text, ears.read({ language, asked: 'place', text }).values.jurisdiction];
    });
    expect(heard).toEqual(CODES.map((code) => [said(language, code), code]));
  });

  it.each(['ar', 'ko', 'ru', 'zh-Hans'])('are all in the letters of the language: %s', (language) => {
    expect(CODES.filter((code) => /[A-Za-z]/.test(said(language, code)))).toEqual([]);
  });
});
