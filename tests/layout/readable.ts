import { syllable } from 'syllable';

export interface Counts {
  readonly words: number;
  readonly sentences: number;
  readonly syllables: number;
}

const WORD = /[\p{L}\p{N}]+(?:['’-][\p{L}\p{N}]+)*/gu;
const SENTENCE_END = /[.!?]+(?:\s|$)|:\s/gu;

/** Diphthongs count one, two strong vowels or an accented weak one count two (the division rules of Spanish spelling). */
const spanishSyllables = (word: string): number => {
  const vowels = word
    .toLowerCase()
    .replace(/(?<=[qg])u(?=[eiéí])/g, '')
    .replace(/y$/, 'i');
  const nuclei = vowels.match(/[iuü]?[aeoáéó][iuü]?|[íú]|[iuü]+/g) ?? [];
  return Math.max(1, nuclei.length);
};

const count = (text: string, syllablesOf: (word: string) => number): Counts => {
  const words = text.match(WORD) ?? [];
  return {
    words: words.length,
    sentences: Math.max(1, (text.match(SENTENCE_END) ?? []).length),
    syllables: words.reduce((sum, word) => sum + syllablesOf(word), 0),
  };
};

/** US school grade by Flesch and Kincaid (1975, Navy Research Branch Report 8-75): lower is easier. */
export function gradeOfEnglish(text: string): number {
  const { words, sentences, syllables } = count(text, syllable);
  return 0.39 * (words / sentences) + 11.8 * (syllables / words) - 15.59;
}

/** Ease of Spanish by Szigriszt Pazos (1992): 65 and more is "quite easy", the level of primary school, on the INFLESZ scale. */
export function easeOfSpanish(text: string): number {
  const { words, sentences, syllables } = count(text, spanishSyllables);
  return 206.835 - 62.3 * (syllables / words) - words / sentences;
}
