import type { Ears } from '#dialogs/ears.ts';
import { byAge, byName, partingsOf } from '#dialogs/understanding/by-child.ts';
import { readCountWord, readDenied, readKeywords, readWhole } from '#dialogs/understanding/checklists.ts';
import { readCount } from '#dialogs/understanding/counts.ts';
import { readEmergency } from '#dialogs/understanding/emergency.ts';
import { readLimits } from '#dialogs/understanding/label-limits.ts';
import { nameIn } from '#dialogs/understanding/names.ts';
import { createReader, LONGEST_MESSAGE } from '#dialogs/understanding/reader.ts';
import { readSeatDates } from '#dialogs/understanding/seat-dates.ts';
import type { AskedSlot, Language } from '#dialogs/understanding/types.ts';
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
  const partings = new Map<Language, RegExp>();
  const partingsIn = (language: Language): RegExp => {
    const known = partings.get(language);
    if (known) return known;
    const own = [...new Set([language, 'en' as const])].map((each) => lexicons[each]);
    const plain = (words: readonly string[]) => words.filter((word) => /^[\p{L}\p{M}\s'’&]+$/u.test(word));
    const made = partingsOf(
      own.flatMap(({ relations }) => plain(relations.and)),
      own.flatMap(({ cues }) => plain([...cues.several, ...cues['this-child'], ...cues['other-child']])),
    );
    partings.set(language, made);
    return made;
  };
  const openly = (text: string, language: Language, asked: AskedSlot | null, today?: string) =>
    reader.read({ language, asked, text, anyChild: true, ...(today && { context: { today, units: 'us' } }) });
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
    atOnce: (text, language) => {
      const numerals = Object.values(lexicons[language].numbers.words).flat();
      for (const words of wordsOf(language)) {
        const counts = Object.entries(words.counts).map(([count, ways]) => [
          count,
          ways.filter((way) => !numerals.includes(way)),
        ]);
        const count = readCountWord(text.slice(0, LONGEST_MESSAGE), { ...words, counts: Object.fromEntries(counts) });
        if (count !== null) return count;
      }
      return null;
    },
    keywords: (text, language, group) => firstOf(text, language, group, readKeywords),
    denied: (text, language, group) => firstOf(text, language, group, readDenied),
    byName: (text, language, names) =>
      byName(
        text.slice(0, LONGEST_MESSAGE),
        partingsIn(language),
        names,
        (part) => /\p{N}/u.test(part) || Object.keys(openly(part, language, null).values).length > 0,
      ),
    byAge: (text, language, today, asked) =>
      byAge(text.slice(0, LONGEST_MESSAGE), partingsIn(language), (part) => openly(part, language, asked, today)),
    nameIn: (text, language) => nameIn(text, vocabularyOf(language)),
    agrees: (text, language, to) =>
      wordsOf(language).some((words) => readWhole(text.slice(0, LONGEST_MESSAGE), words, to) === 'yes'),
    deniesAll: (text, language) =>
      wordsOf(language).some((words) => readWhole(text.slice(0, LONGEST_MESSAGE), words, 'whole-list') === 'none'),
    // In fear people write in whatever language comes first.
    emergency: (text) => readEmergency(text.slice(0, LONGEST_MESSAGE), Object.values(checklists)),
  };
}
