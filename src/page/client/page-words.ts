import { bestLanguage } from '../best-language.ts';
import type { PageWords } from '../page-words.ts';

const all: Readonly<Record<string, PageWords>> = JSON.parse(document.getElementById('words')?.textContent ?? '{}');

/** The page's words in a language, or in the nearest one there is. */
export function wordsIn(language: string): PageWords {
  return all[bestLanguage(Object.keys(all), [language])] as PageWords;
}
