import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { LANGUAGES, type Language } from '#dialogs/understanding/types.ts';
import { cleanText } from '#src/channels/clean-text.ts';
import { eventId, languageTag } from '#src/channels/opening.ts';
import { acceptedLanguages } from '#src/http/accept-language.ts';
import { createEars } from '#src/locales/ears.ts';
import { bestLanguage } from '#src/page/best-language.ts';
import { textDirection } from '#src/page/direction.ts';
import { loadPageLanguages } from '#src/page/languages.ts';
import { loadPageWords } from '#src/page/page-words.ts';
import { ourLanguage } from '#src/turns/turns.ts';

describe('the page words', () => {
  const words = loadPageWords();

  it('are there in English and Spanish, each with every text', () => {
    const keys = Object.keys(words.get('en') ?? {});
    expect(keys.length).toBeGreaterThan(20);
    for (const [language, own] of words) expect(Object.keys(own), language).toEqual(keys);
  });

  it('say that manuals, law and technician come first, and whom to call in an emergency', () => {
    expect(words.get('en')?.cautions).toMatch(/manuals.*law.*technician.*emergency/i);
    expect(words.get('es')?.cautions).toMatch(/manuales.*ley.*técnico.*emergencia/i);
  });
});

describe('the languages on the menu', () => {
  const ears = createEars();
  const languages = loadPageLanguages();
  const all = languages.map(({ tag }) => tag) as Language[];

  it('are those the bot speaks, each by its own name', () => {
    expect(all).toEqual(expect.arrayContaining(['en', 'es']));
    expect(languages.find(({ tag }) => tag === 'es')).toMatchObject({ name: 'Español', wish: 'Spanish' });
  });

  it('say that nobody has reviewed them, until somebody has', () => {
    for (const { tag, notice } of languages) {
      const file = new URL(`../../../locales/${tag}/about.json`, import.meta.url);
      if (!existsSync(file)) continue;
      const about = JSON.parse(readFileSync(file, 'utf8'));
      expect(notice, tag).toBe(about.reviewed ? null : about.notice);
      if (!about.reviewed) expect(about.notice.length, tag).toBeGreaterThan(10);
    }
  });

  it.each(all)('are understood when chosen in a conversation in %s', (language) => {
    for (const { tag, wish } of languages) {
      const heard = ears.read({ language, asked: 'weight', text: wish, context: {} });
      expect(heard.values.language, wish).toBe(tag);
    }
  });

  it.each([...loadPageWords().keys()] as Language[])(
    'have commands on the menu that the bot hears in them: %s',
    (language) => {
      const words = loadPageWords().get(language);
      for (const command of ['back', 'why', 'help', 'person', 'restart', 'delete'] as const) {
        const text = words?.[command] ?? '';
        expect(ears.read({ language, asked: 'weight', text, context: {} }).intent, text).toBe(command);
      }
    },
  );
});

describe('bestLanguage', () => {
  const atHand = ['en', 'es', 'zh-Hans', 'pt-BR', 'tl'];

  it.each([
    [['es'], 'es'],
    [['ES-mx'], 'es'],
    [['pt'], 'pt-BR'],
    [['zh-Hant', 'es'], 'zh-Hans'],
    [['de', 'fr', 'es'], 'es'],
    [['de'], 'en'],
    [['fil-PH', 'en'], 'tl'],
    [[], 'en'],
  ])('of %j is %s', (wanted, best) => {
    expect(bestLanguage(atHand, wanted)).toBe(best);
  });
});

// RFC 9110, section 12.5.4: tags with weights; a weight of 0 means "not acceptable".
describe('acceptedLanguages', () => {
  it.each([
    ['da, en-gb;q=0.8, en;q=0.7', ['da', 'en-gb', 'en']],
    ['en;q=0.2, es', ['es', 'en']],
    ['fr;q=0, es;q=0.1, *;q=0.5', ['es']],
    ['', []],
    [';;,,q=1', []],
  ])('reads %j', (header, tags) => {
    expect(acceptedLanguages(header)).toEqual(tags);
  });

  it('reads a missing header as no wish', () => {
    expect(acceptedLanguages(undefined)).toEqual([]);
  });
});

describe('languageTag', () => {
  it.each(LANGUAGES)('of %s is still told to be that language when a conversation opens', (language) => {
    expect(ourLanguage(languageTag(language))).toBe(language);
  });

  it.each([
    ['es-mx', 'es-MX'],
    ['ZH-hans', 'zh-Hans'],
    ['klingon-language-of-old', undefined],
    ['', undefined],
    ['../../etc', undefined],
    [7, undefined],
    ['x'.repeat(100), undefined],
  ])('of %j is %j', (text, tag) => {
    expect(languageTag(text)).toBe(tag);
  });
});

describe('eventId', () => {
  it.each([
    ['spring-2026', 'spring-2026'],
    ['a b', undefined],
    ["'; drop table", undefined],
    ['', undefined],
    [null, undefined],
  ])('of %j is %j', (text, id) => {
    expect(eventId(text)).toBe(id);
  });
});

// The oracle is the platform's own copy of Unicode CLDR.
describe('textDirection', () => {
  const cldr = (language: string) =>
    (new Intl.Locale(language) as Intl.Locale & { getTextInfo(): { direction: string } }).getTextInfo().direction;

  it.each(['en', 'es', 'zh-Hans', 'vi', 'ar', 'fr', 'ht', 'pt-BR', 'ru', 'ko', 'tl', 'so', 'ar-EG', 'he', 'fa', 'ur'])(
    'of %s is as Unicode CLDR has it',
    (language) => {
      expect(textDirection(language)).toBe(cldr(language));
    },
  );
});

describe('cleanText', () => {
  it('keeps words, line breaks and emoji, and makes the rest harmless', () => {
    expect(cleanText('a\r\nb\rc\td 👩‍👧 é')).toBe('a\nb\nc\td 👩‍👧 é');
    expect(cleanText('\u0000\u001b\u007f\u009f\u2028')).toBe('     ');
    expect(cleanText('x\udc00y')).toBe('x\ufffdy');
  });
});
