import type { Ears } from '#dialogs/ears.ts';
import { readDenied, readKeywords, readWhole } from '#dialogs/understanding/checklists.ts';
import { readCount } from '#dialogs/understanding/counts.ts';
import { readEmergency } from '#dialogs/understanding/emergency.ts';
import { readLimits } from '#dialogs/understanding/label-limits.ts';
import { createReader, LONGEST_MESSAGE } from '#dialogs/understanding/reader.ts';
import { readSeatDates } from '#dialogs/understanding/seat-dates.ts';
import type { Language } from '#dialogs/understanding/types.ts';
import { readingVocabulary, type Vocabulary } from '#dialogs/understanding/vocabulary.ts';
import { readWords } from '#dialogs/understanding/words.ts';
import { loadChecklistWords } from './checklists.ts';
import { loadLexicons } from './lexicons.ts';

/** The conversation's ears over the lexicons and checklist words of `locales/`. Words of English are heard in every language. */
export function createEars(): Ears {
  const lexicons = loadLexicons();
  const checklists = loadChecklistWords();
  const reader = createReader(lexicons);
  const vocabularies = new Map<Language, Vocabulary>();
  const vocabularyOf = (language: Language): Vocabulary => {
    const known = vocabularies.get(language);
    if (known) return known;
    const made = readingVocabulary(lexicons[language] ?? lexicons.en, language === 'en' ? null : lexicons.en);
    vocabularies.set(language, made);
    return made;
  };
  const messageOf = (text: string, language: Language) =>
    readWords(vocabularyOf(language), text.slice(0, LONGEST_MESSAGE));
  /** The language's own words, and English ones that people mix in. */
  const wordsOf = (language: Language) => {
    const own = checklists[language];
    return [...(own ? [own] : []), ...(language !== 'en' && checklists.en ? [checklists.en] : [])];
  };
  /** What the first of the languages that says anything makes of a text. */
  const firstOf = (text: string, language: Language, group: string, read: typeof readKeywords): readonly string[] => {
    for (const words of wordsOf(language)) {
      const ids = read(text.slice(0, LONGEST_MESSAGE), words, group);
      if (ids.length > 0) return ids;
    }
    return [];
  };
  return {
    read: reader.read,
    recogniseLanguage: reader.recogniseLanguage,
    limits: (text, language, units) => readLimits(messageOf(text, language), units),
    dates: (text, language, today) => readSeatDates(messageOf(text, language), today, 'us'),
    count: (text, language) => {
      for (const words of wordsOf(language)) {
        const count = readCount(text, messageOf(text, language), words);
        if (count !== null) return count;
      }
      return null;
    },
    keywords: (text, language, group) => firstOf(text, language, group, readKeywords),
    denied: (text, language, group) => firstOf(text, language, group, readDenied),
    agrees: (text, language, to) =>
      wordsOf(language).some((words) => readWhole(text.slice(0, LONGEST_MESSAGE), words, to) === 'yes'),
    deniesAll: (text, language) =>
      wordsOf(language).some((words) => readWhole(text.slice(0, LONGEST_MESSAGE), words, 'whole-list') === 'none'),
    // In fear people write in whatever language comes first.
    emergency: (text) => readEmergency(text.slice(0, LONGEST_MESSAGE), Object.values(checklists)),
  };
}
