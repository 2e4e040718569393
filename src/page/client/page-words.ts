import { bestLanguage } from '../best-language.ts';
import type { PageWords } from '../page-words.ts';

const all: Readonly<Record<string, PageWords>> = JSON.parse(document.getElementById('words')?.textContent ?? '{}');

/** The languages the page has words in. */
export const languages: readonly string[] = Object.keys(all);

/** The page's words in a language, or in the nearest one there is. */
export function wordsIn(language: string): PageWords {
  return all[bestLanguage(languages, [language])] as PageWords;
}
