import { readFileSync } from 'node:fs';
import { type ChecklistWords, checklistWordsSchema } from '#dialogs/understanding/checklists.ts';
import type { Language } from '#dialogs/understanding/types.ts';
import ar from '#locales/ar/checklists.json' with { type: 'json' };
import en from '#locales/en/checklists.json' with { type: 'json' };
import es from '#locales/es/checklists.json' with { type: 'json' };
import fr from '#locales/fr/checklists.json' with { type: 'json' };
import ht from '#locales/ht/checklists.json' with { type: 'json' };
import ko from '#locales/ko/checklists.json' with { type: 'json' };
import ptBR from '#locales/pt-BR/checklists.json' with { type: 'json' };
import ru from '#locales/ru/checklists.json' with { type: 'json' };
import so from '#locales/so/checklists.json' with { type: 'json' };
import tl from '#locales/tl/checklists.json' with { type: 'json' };
import vi from '#locales/vi/checklists.json' with { type: 'json' };
import zhHans from '#locales/zh-Hans/checklists.json' with { type: 'json' };

const FILES: Readonly<Partial<Record<Language, unknown>>> = {
  ar,
  en,
  es,
  fr,
  ht,
  ko,
  'pt-BR': ptBR,
  ru,
  tl,
  vi,
  so,
  'zh-Hans': zhHans,
};

const LOCALES = new URL('../../locales/', import.meta.url);

/** What the bot itself writes on the choices of a question, by question and choice. */
const readChoices = (language: string): Readonly<Record<string, Readonly<Record<string, unknown>>>> =>
  JSON.parse(readFileSync(new URL(`${language}/chat.json`, LOCALES), 'utf8')).choice;

/** A choice is also named by its own words, as they stand on the button. */
function withChoices(words: ChecklistWords, language: string): ChecklistWords {
  const choices = readChoices(language);
  const groups = Object.entries(words.groups).map(([group, ways]) => {
    const named = Object.entries(ways).map(([id, phrases]) => {
      const own = choices[group]?.[id];
      return [id, typeof own === 'string' ? [...phrases, own] : phrases] as const;
    });
    return [group, Object.fromEntries(named)] as const;
  });
  return { ...words, groups: Object.fromEntries(groups) };
}

/** The checklist words of each language that has them, checked against their schema. */
export const loadChecklistWords = (): Readonly<Partial<Record<Language, ChecklistWords>>> =>
  Object.fromEntries(
    Object.entries(FILES).map(([language, file]) => [
      language,
      withChoices(checklistWordsSchema.parse(file), language),
    ]),
  );
