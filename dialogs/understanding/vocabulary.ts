import type { Lexicon } from './lexicon.ts';
import { compilePhrase, type Hit, matchPattern, type Pattern } from './patterns.ts';
import { type Token, tokenise, type Writing } from './tokens.ts';

/** A lexicon made ready: its phrases by their first word, and the settings the grammar asks for. */
export interface Vocabulary {
  readonly lexicon: Lexicon;
  readonly writing: Writing;
  readonly strict: boolean;
  readonly byFirst: ReadonlyMap<string, readonly Pattern[]>;
  readonly byStem: ReadonlyMap<string, readonly Pattern[]>;
  readonly stemLengths: readonly number[];
  /** First words of the language itself: never taken for a misspelling of something else. */
  readonly known: ReadonlySet<string>;
  /** Words of the language itself that are written without an accent. */
  readonly plainWords: ReadonlySet<string>;
  /** Postal codes of the states, in small letters. */
  readonly stateCodes: ReadonlySet<string>;
  readonly part: ReadonlySet<string>;
  readonly drop: readonly string[];
}

/** Cues that only tell what a sentence is about: they neither cover the phrases inside them nor make their words known. */
export const CONTEXT_CUES: ReadonlySet<string> = new Set([
  'cue.tenure',
  'cue.elsewhere',
  'cue.residence',
  'cue.several',
  'cue.feast',
  'cue.reached',
  'cue.gain',
  'cue.lacks',
  'cue.question',
  'cue.future',
  'cue.partly',
  'cue.knowing',
  'cue.courtesy',
  'cue.filler',
  'cue.cannot',
  'cue.moved',
  'cue.so',
  'cue.sold',
  'cue.typed',
  'cue.adult',
  'cue.relative',
  'relation.hedge',
]);

type Section = Readonly<Record<string, readonly string[]>>;

const section = (group: string, entries: Section): [string, string][] =>
  Object.entries(entries).flatMap(([name, list]) =>
    list.map((phrase): [string, string] => [`${group}.${name}`, phrase]),
  );

const list = (concept: string, entries: readonly string[]): [string, string][] =>
  entries.map((phrase) => [concept, phrase]);

const readingPhrases = (lexicon: Lexicon): [string, string][] => [
  ...section('number', lexicon.numbers.words),
  ...section('bound-number', lexicon.numbers.boundWords),
  ...section('times', lexicon.numbers.times),
  ...list('number-and.', lexicon.numbers.and),
  ...list('point.', lexicon.numbers.point),
  ...section('fraction', lexicon.numbers.fractions),
  ...section('part-of', lexicon.numbers.partOf),
  ...section('unit', lexicon.units),
  ...section('quantity', lexicon.quantities),
  ...list('linker.', lexicon.unitOrder.linkers),
  ...list('implied-one.', lexicon.unitOrder.impliedOne),
  ...lexicon.dates.months.flatMap((names, index) => list(`month.${index + 1}`, names)),
  ...section('date-before', lexicon.dates.before),
  ...section('date-after', lexicon.dates.after),
  ...list('date-linker.', lexicon.dates.linkers),
  ...list('ordinal.', lexicon.dates.ordinals),
  ...section('relative-year', lexicon.dates.relativeYears),
  ...section('relative-month', lexicon.dates.relativeMonths),
  ...section('relative-day', lexicon.dates.relativeDays),
  ...section('relation', lexicon.relations),
  ...section('cue', lexicon.cues),
  ...section('mode', lexicon.modes),
  ...section('kind', lexicon.seatKinds),
  ...section('feature', lexicon.features),
  ...section('answer', lexicon.answers),
  ...section('intent', lexicon.intents),
  ...section('state', lexicon.states),
  ...list('not-state.', lexicon.notStates),
  ...section('language', lexicon.languages),
  ...list('language-request.', lexicon.languageRequest),
];

/** Groups whose small words mean something else in another language. */
const GRAMMAR_GROUPS = new Set(['relation', 'answer', 'cue']);

/** The phrases a reading needs, made ready. `borrowed` is the language people mix in. */
export const readingVocabulary = (lexicon: Lexicon, borrowed: Lexicon | null): Vocabulary => {
  const writing: Writing = { apostrophe: lexicon.writing.apostrophe, variants: lexicon.writing.variants };
  const byFirst = new Map<string, Pattern[]>();
  const byStem = new Map<string, Pattern[]>();
  const known = new Set<string>();
  const plainWords = new Set<string>();
  const seen = new Set<string>();
  const common = new Set(lexicon.common.map((word) => tokenise(word, writing)[0]?.text ?? ''));
  const add = (source: Lexicon, isBorrowed: 0 | 1) => {
    for (const [concept, phrase] of readingPhrases(source)) {
      const key = `${concept} ${phrase}`;
      if (seen.has(key)) continue;
      seen.add(key);
      for (const pattern of compilePhrase(phrase, concept, writing, isBorrowed)) {
        const first = pattern.words[0];
        if (first === undefined) continue;
        // "no booster" is English for none and Portuguese for on one.
        const counts = pattern.words.length === 1 && !GRAMMAR_GROUPS.has(pattern.group);
        if (isBorrowed === 1 && !counts && common.has(first.text)) continue;
        const index = first.stem ? byStem : byFirst;
        const others = index.get(first.text);
        if (others) others.push(pattern);
        else index.set(first.text, [pattern]);
        if (isBorrowed === 1 || CONTEXT_CUES.has(concept)) continue;
        for (const word of pattern.words) {
          known.add(word.text);
          if (word.raw === word.text) plainWords.add(word.text);
        }
      }
    }
  };
  add(lexicon, 0);
  if (borrowed) add(borrowed, 1);
  for (const word of common) known.add(word);
  const { part, drop } = lexicon.writing.proclitics;
  return {
    lexicon,
    writing,
    strict: lexicon.writing.strictAccents,
    byFirst,
    byStem,
    stemLengths: [...new Set([...byStem.keys()].map((stem) => stem.length))].sort((a, b) => a - b),
    known,
    plainWords,
    stateCodes: new Set(
      Object.keys({ ...borrowed?.states, ...lexicon.states }).map((state) => state.slice(3).toLowerCase()),
    ),
    part: new Set(part),
    drop: [...drop].sort((a, b) => b.length - a.length),
  };
};

const candidates = (vocabulary: Vocabulary, word: string): Pattern[] => {
  const found = [...(vocabulary.byFirst.get(word) ?? [])];
  for (const length of vocabulary.stemLengths) {
    if (length > word.length) break;
    const stemmed = vocabulary.byStem.get(word.slice(0, length));
    if (stemmed) found.push(...stemmed);
  }
  return found;
};

/** Whether any phrase begins with this word. */
export const isKnown = (vocabulary: Vocabulary, word: string): boolean =>
  vocabulary.byFirst.has(word) || vocabulary.known.has(word) || candidates(vocabulary, word).length > 0;

/** Phrases that hold a unit which a number before them may still take: "두 돌이에요", "4 months old". */
const WITH_UNIT = ['quantity.', 'implied-one.', 'cue.age', 'cue.duration', 'relation.past'];

/** What keeps its own meaning inside a longer phrase of another group. */
const staysBeside = (short: Hit, { group, pattern: { concept } }: Hit): boolean => {
  switch (short.group) {
    case 'unit':
      // "18 tháng rồi" is an age although "tháng rồi" alone is last month.
      return group.startsWith('relative-') || WITH_UNIT.some((start) => concept.startsWith(start));
    case 'number':
    case 'bound-number':
      return group === 'quantity';
    case 'quantity':
      return group.startsWith('relative-') || group === 'relation';
    case 'date-before':
    case 'month':
      // "بيك اب" holds the name of a month.
      return group === 'cue' && concept !== 'cue.vehicle';
    case 'cue':
      // "she is" still speaks of her.
      if (short.name === 'this-child' && (concept === 'cue.old' || group === 'answer')) return true;
      return short.name === 'duration' && concept === 'relation.past';
    case 'answer':
      // "no it's brand new" is a no, whatever else "no it's" may be.
      return group === 'intent' || (short.name === 'no' && concept === 'relation.correction');
    case 'mode':
    case 'feature':
      return group === 'intent';
    case 'intent':
      return group === 'answer';
    default:
      return false;
  }
};

const covers = (long: Hit, short: Hit): boolean =>
  long.start <= short.start &&
  long.end >= short.end &&
  long.end - long.start > short.end - short.start &&
  !staysBeside(short, long);

/** Where one word alone decides, an accent left out or put in makes another word of it ("bế", "bé"). */
const EXACT_GROUPS = new Set(['mode', 'kind', 'feature', 'answer', 'intent']);

const isSpeltSo = ({ concept, group, words }: Pattern, token: Token, strict: boolean): boolean => {
  const [first] = words;
  if (words.length > 1 || first === undefined) return true;
  // "a" and "à" are different words everywhere.
  const letter = first.text.length === 1 && first.raw !== first.text && first.raw.length === 1;
  return letter || (strict && (EXACT_GROUPS.has(group) || CONTEXT_CUES.has(concept))) ? first.raw === token.raw : true;
};

/** All phrases found, by where they start; one that lies inside a longer one without a gap is not counted. */
export const findHits = (vocabulary: Vocabulary, tokens: readonly Token[]): readonly (readonly Hit[])[] => {
  const found = tokens.map((token, start): Hit[] => {
    const patterns = new Set([token.text, ...token.alternatives].flatMap((word) => candidates(vocabulary, word)));
    const hits: Hit[] = [];
    for (const pattern of patterns) {
      const end = matchPattern(pattern, tokens, start, vocabulary.strict);
      if (end > start && isSpeltSo(pattern, token, vocabulary.strict))
        hits.push({ pattern, group: pattern.group, name: pattern.name, start, end });
    }
    return hits;
  });
  // The solid hit that reaches furthest, of those starting at or before each token, is enough to decide what is covered.
  const kept: Hit[][] = [];
  let reach: Hit[] = [];
  for (const [start, hits] of found.entries()) {
    reach = reach.filter(({ end }) => end > start);
    const solid = hits.filter(({ pattern }) => !pattern.gapped && !CONTEXT_CUES.has(pattern.concept));
    const longest = solid.reduce<Hit | null>((best, hit) => (best === null || hit.end > best.end ? hit : best), null);
    if (longest) reach.push(longest);
    const own = (hit: Hit) =>
      hit.pattern.borrowed === 0 ||
      !hits.some(
        (other) =>
          other.pattern.borrowed === 0 &&
          other.end >= hit.end &&
          other.group !== 'language-request' &&
          !CONTEXT_CUES.has(other.pattern.concept) &&
          !other.pattern.gapped,
      );
    const isContext = ({ pattern }: Hit) => CONTEXT_CUES.has(pattern.concept);
    kept.push(hits.filter((hit) => isContext(hit) || (!reach.some((other) => covers(other, hit)) && own(hit))));
  }
  return kept;
};
