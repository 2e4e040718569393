import { describe, expect, it } from 'vitest';
import type { Language } from '#dialogs/understanding/types.ts';
import { reader } from './sets.ts';
import { spell } from './spelling.ts';

/** Ways to say a half before the unit; # is the whole number. Messages of our own. */
const FRAMES: readonly (readonly [Language, string])[] = [
  ['en', '# and a half kilos'],
  ['en', '# and half a kilo'],
  ['es', '# y medio kilos'],
  ['pt-BR', '# e meio quilo'],
  ['fr', '# et demi kilos'],
  ['ht', '# edmi kilo'],
  ['ht', '# ak mwatye kilo'],
  ['ru', '# с половиной кило'],
  ['ru', '# и полкило'],
  ['ar', '# ونص كيلو'],
  ['vi', '# rưỡi ký'],
  ['vi', '# và nửa ký'],
  ['zh-Hans', '#个半公斤'],
  ['ko', '# 반 킬로'],
  ['tl', "#'t kalahating kilo"],
  ['tl', '# at kalahating kilo'],
  ['so', '# iyo nus kiilo'],
];

const WHOLES = Array.from({ length: 30 }, (_, index) => index + 5);

describe('a half before the unit', () => {
  it.each(FRAMES)('belongs to the whole number before it: %s %s', (language, frame) => {
    const misread = WHOLES.flatMap((whole) =>
      // Tagalog puts no linking "na" before "at".
      [String(whole), spell(language, whole).replace(/ na$/, '')].flatMap((number) => {
        const text = frame.replace('#', number);
        const { values, confidence } = reader.read({ language, asked: 'weight', text });
        return values.weightKg === whole + 0.5 && confidence === 'sure' ? [] : [`${text}: ${JSON.stringify(values)}`];
      }),
    );
    expect(misread).toEqual([]);
  });
});

describe('the Tagalog "and" written onto the word before it', () => {
  it.each([
    ["pito't kalahati", 90],
    ["anim't kalahati na po", 78],
    ['walo’t kalahating taon', 102],
    ["tatlo't kalahati", 42],
  ])('%s', (text, months) => {
    expect(reader.read({ language: 'tl', asked: 'age', text })).toEqual({
      values: { ageMonths: [months, months + 5] },
      confidence: 'sure',
    });
  });
});
