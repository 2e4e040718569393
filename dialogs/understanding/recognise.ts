import type { Lexicon, Lexicons } from './lexicon.ts';
import { tokenise } from './tokens.ts';
import { LANGUAGES, type Language } from './types.ts';

/** Scripts that only one of the languages is written in. */
const SCRIPTS: readonly (readonly [RegExp, Language])[] = [
  [/\p{Script=Hangul}/u, 'ko'],
  [/\p{Script=Han}/u, 'zh-Hans'],
  [/\p{Script=Cyrillic}/u, 'ru'],
  [/\p{Script=Arabic}/u, 'ar'],
];
/** Letters that only Vietnamese has among the languages in Latin script. */
const VIETNAMESE = /[đơưăạảấầẩẫậắằẳẵặẹẻẽếềểễệỉịọỏốồổỗộớờởỡợụủứừửữựỳỵỷỹ]/u;
const LONGEST = 600;

const COMMON_WORD = 3;
const OTHER_WORD = 1;
const ENOUGH = 2;
/** How many times the score of the second best. */
const AHEAD = 1.8;

const phrasesOf = (lexicon: Lexicon): readonly string[] =>
  [
    lexicon.cues,
    lexicon.relations,
    lexicon.answers,
    lexicon.intents,
    lexicon.modes,
    lexicon.units,
    lexicon.numbers.words,
  ]
    .flatMap((section) => Object.values(section) as readonly (readonly string[])[])
    .flat();

type Scores = ReadonlyMap<string, ReadonlyMap<Language, number>>;

/** What each word is worth for each language: a word of several languages says little. */
const scoreWords = (lexicons: Lexicons, languages: readonly Language[]): Scores => {
  const scores = new Map<string, Map<Language, number>>();
  const add = (language: Language, phrase: string, worth: number) => {
    const { apostrophe, variants } = lexicons[language].writing;
    for (const { kind, text } of tokenise(phrase, { apostrophe, variants })) {
      if (kind !== 'word') continue;
      const known = scores.get(text) ?? new Map<Language, number>();
      known.set(language, Math.max(worth, known.get(language) ?? 0));
      scores.set(text, known);
    }
  };
  for (const language of languages) {
    for (const word of lexicons[language].common) add(language, word, COMMON_WORD);
    for (const phrase of phrasesOf(lexicons[language])) add(language, phrase, OTHER_WORD);
  }
  return scores;
};

const bySpelling = (scores: Scores, text: string): Language | null => {
  const sums = new Map<Language, number>();
  const matched = new Map<Language, number>();
  let words = 0;
  for (const { kind, text: word } of tokenise(text, { apostrophe: 'split', variants: {} })) {
    if (kind !== 'word') continue;
    words += 1;
    const known = scores.get(word) ?? [];
    const shared = [...known].length;
    for (const [language, worth] of known) {
      sums.set(language, (sums.get(language) ?? 0) + worth / shared);
      matched.set(language, (matched.get(language) ?? 0) + 1);
    }
  }
  const [first, second] = [...sums].sort((a, b) => b[1] - a[1]);
  if (!first || first[1] < ENOUGH) return null;
  // One word among unknown ones may be part of a name: "Las Vegas".
  if (Math.min(words, 2) > (matched.get(first[0]) ?? 0)) return null;
  return !second || first[1] >= AHEAD * second[1] ? first[0] : null;
};

/** A recogniser of the language a message is written in; null where it is unsure. Its word list is made at first use. */
export const createRecogniser = (lexicons: Lexicons): ((text: string) => Language | null) => {
  const own = new Set(SCRIPTS.map(([, language]) => language));
  let scores: Scores | null = null;
  return (text) => {
    const start = text.slice(0, LONGEST).normalize('NFC').toLowerCase();
    const scripts = SCRIPTS.filter(([script]) => script.test(start));
    const [script] = scripts;
    if (scripts.length > 1) return null;
    if (script) return script[1];
    if (VIETNAMESE.test(start)) return 'vi';
    scores ??= scoreWords(
      lexicons,
      LANGUAGES.filter((language) => !own.has(language)),
    );
    return bySpelling(scores, start);
  };
};
