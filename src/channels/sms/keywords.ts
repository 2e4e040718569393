import type { Words } from '#src/words/words.ts';

export type Keyword = 'stop' | 'start' | 'help';

export interface HeardKeyword {
  readonly keyword: Keyword;
  /** The language whose word it is. */
  readonly language: string;
}

const KEYWORDS: readonly Keyword[] = ['stop', 'start', 'help'];

/** Without case, accents, and marks around it. */
const fold = (text: string): string =>
  text
    .normalize('NFKD')
    .replace(/\p{Mn}/gu, '')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, ' ')
    .trim();

/** Hears the words that stop, start and explain text messages, in every language, where they are all of a message. */
export function createKeywords(words: Words): (text: string) => HeardKeyword | null {
  const known = new Map<string, HeardKeyword>();
  for (const language of words.languages) {
    const say = words.say(language, 'sms');
    for (const keyword of KEYWORDS)
      for (const word of say(`hears.${keyword}`).split('|')) known.set(fold(word), { keyword, language });
  }
  return (text) => known.get(fold(text)) ?? null;
}
