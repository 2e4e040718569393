import { useEffect, useState } from 'preact/hooks';
import { bestLanguage } from '../best-language.ts';
import type { PageWords } from '../page-words.ts';
import { loadWords } from './api.ts';
import { data } from './data.ts';

export interface LanguageWords {
  readonly language: string;
  readonly words: PageWords;
}

/**
 * The page's words in the language wanted: those it was served with at first, others as soon as they are here.
 * A language whose words cannot be had leaves those on the page.
 */
export function useWords(served: string, wanted: string): LanguageWords {
  const [now, setNow] = useState<LanguageWords>({ language: served, words: data.words });
  const tags = data.languages.map(({ tag }) => tag);
  const language = bestLanguage(tags, [wanted]);
  useEffect(() => {
    let dropped = false;
    if (language === served) setNow({ language, words: data.words });
    else
      loadWords(language).then(
        (words) => dropped || setNow({ language, words }),
        () => {},
      );
    return () => {
      dropped = true;
    };
  }, [language]);
  return now;
}
