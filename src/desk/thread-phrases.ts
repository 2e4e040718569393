import words from '#locales/en/take-home.json' with { type: 'json' };
import type { Words } from '#src/words/words.ts';

/** Ids of the ready-made phrases that a technician may send in any language of the families. */
export const PHRASES: readonly string[] = Object.keys(words.phrase);

/** A ready-made phrase in a language; null for an id that is none. */
export const phraseIn = (all: Words, language: string, id: string): string | null =>
  PHRASES.includes(id) ? all.say(language, 'take-home')(`phrase.${id}`) : null;
