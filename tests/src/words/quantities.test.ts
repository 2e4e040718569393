import { readdirSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { namesOf } from '#src/locales/names.ts';
import { ageWords, dateWords, heightWords, languageWords, listWords, weightWords } from '#src/words/quantities.ts';
import { createWords } from '#src/words/words.ts';

const languages = readdirSync(new URL('../../../locales/', import.meta.url));

const hasData = (language: string): boolean =>
  [
    Intl.DateTimeFormat.supportedLocalesOf(language),
    Intl.NumberFormat.supportedLocalesOf(language),
    Intl.ListFormat.supportedLocalesOf(language),
    Intl.DisplayNames.supportedLocalesOf(language),
  ].every((supported) => supported.length === 1);

const months = (count: number) => ({ min: count, max: count });

describe('words for quantities', () => {
  it.each(languages.filter((language) => !hasData(language)))(
    'are brought by a language that Intl knows nothing of: %s',
    (language) => {
      const { language: name, months: own, and, units } = namesOf(language);
      expect([name, own, and]).not.toContain(undefined);
      expect(Object.keys(units ?? {}).sort()).toEqual([
        'centimeter',
        'inch',
        'kilogram',
        'minute',
        'month',
        'pound',
        'year',
      ]);
    },
  );

  // Names of months, units and ages: common practice of each language, from memory.
  it.each([
    ['en', '14 lb (6.4 kg)', '28 in (71.1 cm)', 'August 3, 2026', '3 years 2 months', 'English'],
    ['fr', '14 lb (6,4 kg)', '28 po (71,1 cm)', '3 août 2026', '3 ans 2 mois', 'français'],
    ['ht', '14 liv (6,4 kilo)', '28 pous (71,1 cm)', '3 out 2026', '3 an 2 mwa', 'kreyòl ayisyen'],
    ['tl', '14 lbs (6.4 kg)', '28 in (71.1 cm)', 'Agosto 3, 2026', '3 taon 2 buwan', 'Filipino'],
    ['zh-Hans', '14磅 (6.4公斤)', '28英寸 (71.1厘米)', '2026年8月3日', '3岁2个月', '中文（简体）'],
    ['ko', '14파운드 (6.4kg)', '28인치 (71.1cm)', '2026년 8월 3일', '3세 2개월', '한국어'],
  ])('are those of the language: %s', (language, weight, height, date, age, name) => {
    const said = [
      weightWords(language, 6.35),
      heightWords(language, 71.1),
      dateWords(language, '2026-08-03'),
      ageWords(language, months(38)),
      languageWords(language),
    ];
    // Intl parts a figure from its unit by spaces of several widths.
    expect(said.map((text) => text.replace(/\s/gu, ' '))).toEqual([weight, height, date, age, name]);
  });

  it('end in no full stop of their own, so that a sentence has one only', () => {
    for (const language of createWords().languages)
      for (const date of ['2030', '2030-03', '2030-03-05'])
        expect(dateWords(language, date), language).not.toMatch(/\.$/);
    expect(dateWords('ru', '2030-03')).toBe('март 2030 года');
  });

  it('keep ranges, and the precision that a date has', () => {
    expect(weightWords('ht', { min: 6.35, max: 6.8 })).toBe('14–15 liv (6,4–6,8 kilo)');
    expect(ageWords('ht', { min: 8, max: 10 })).toBe('8–10 mwa');
    expect(ageWords('en', { min: 66, max: 71 })).toBe('5 years 6 months – 5 years 11 months');
    expect(ageWords('ht', months(8))).toBe('8 mwa');
    expect(ageWords('ht', { min: 36, max: 47 })).toBe('3 an');
    expect([dateWords('ht', '2023-01'), dateWords('ht', '2023'), dateWords('fr', '2023-01')]).toEqual([
      'janvye 2023',
      '2023',
      'janvier 2023',
    ]);
  });

  it.each([
    ['ht', ['a'], 'a'],
    ['ht', ['a', 'b'], 'a epi b'],
    ['ht', ['a', 'b', 'c'], 'a, b epi c'],
    ['fr', ['a', 'b', 'c'], 'a, b et c'],
    ['en', ['a', 'b', 'c'], 'a, b, and c'],
  ])('join a list: %s %s', (language, items, text) => {
    expect(listWords(language, items)).toBe(text);
  });
});
