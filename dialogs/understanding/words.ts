import { closestSpelling } from './fuzzy.ts';
import type { Hit } from './patterns.ts';
import { type Token, tokenise } from './tokens.ts';
import { CONTEXT_CUES, findHits, isKnown, type Vocabulary } from './vocabulary.ts';

/** A message cut into words, with every phrase of the lexicon found in it. */
export interface Message {
  readonly vocabulary: Vocabulary;
  readonly tokens: readonly Token[];
  readonly hits: readonly (readonly Hit[])[];
  readonly byGroup: ReadonlyMap<string, readonly Hit[]>;
  /** Digits that belong to a fixed phrase ("5 point", "3 in 1"), and so count nothing. */
  readonly spoken: ReadonlySet<number>;
}

const LONGEST_GLUED = 28;
const SHORTEST_PART = 2;

const single = (vocabulary: Vocabulary, word: string, groups: readonly string[]): boolean =>
  (vocabulary.byFirst.get(word) ?? []).some(({ words, group }) => words.length === 1 && groups.includes(group));

const NUMBERS = ['number', 'times'];
const AFTER_NUMBERS = ['number', 'times', 'unit', 'fraction'];

/** "pito't kalahati": the "and" of one letter written onto a number word. */
const linkedParts = (vocabulary: Vocabulary, word: string): [string, string] | null => {
  const [head, tail] = [word.slice(0, -1), word.slice(-1)];
  if (head.length <= SHORTEST_PART) return null;
  const links =
    single(vocabulary, tail, ['number-and']) && single(vocabulary, head, ['number', 'bound-number', 'unit']);
  return links ? [head, tail] : null;
};

/** "thirtythree", "treintalibras": a number word with the next word written onto it. */
const gluedParts = (vocabulary: Vocabulary, word: string): [string, string] | null => {
  if (word.length < 5 || word.length > LONGEST_GLUED) return null;
  for (let cut = word.length - SHORTEST_PART; cut >= 3; cut--) {
    const head = word.slice(0, cut);
    const tail = word.slice(cut);
    const fits = tail.length > 2 || single(vocabulary, tail, ['unit']);
    if (fits && single(vocabulary, head, NUMBERS) && single(vocabulary, tail, AFTER_NUMBERS)) return [head, tail];
  }
  return null;
};

/** Whether the word alone already means something. */
const standsAlone = (vocabulary: Vocabulary, word: string): boolean =>
  (vocabulary.byFirst.get(word) ?? []).some(({ words, borrowed }) => words.length === 1 && borrowed === 0);

const withAlternatives = (vocabulary: Vocabulary, token: Token): Token => {
  if (standsAlone(vocabulary, token.text)) return token;
  const alternatives = vocabulary.drop
    .filter((prefix) => token.text.startsWith(prefix) && token.text.length - prefix.length > SHORTEST_PART)
    .map((prefix) => token.text.slice(prefix.length))
    .filter((rest) => isKnown(vocabulary, rest));
  return alternatives.length > 0 ? { ...token, alternatives } : token;
};

const partedProclitic = (vocabulary: Vocabulary, token: Token): [string, string] | null => {
  const first = token.text[0] ?? '';
  const rest = token.text.slice(1);
  if (!vocabulary.part.has(first) || rest.length < SHORTEST_PART || isKnown(vocabulary, token.text)) return null;
  const known =
    isKnown(vocabulary, rest) || withAlternatives(vocabulary, { ...token, text: rest }).alternatives.length > 0;
  return known ? [first, rest] : null;
};

const refine = (vocabulary: Vocabulary, token: Token): Token[] => {
  if (token.kind !== 'word') return [token];
  const parted = vocabulary.part.size > 0 ? partedProclitic(vocabulary, token) : null;
  const glued =
    parted ??
    (isKnown(vocabulary, token.text)
      ? null
      : (gluedParts(vocabulary, token.text) ?? linkedParts(vocabulary, token.text)));
  if (glued) {
    const [head, tail] = glued;
    const rest = { ...token, text: tail, raw: tail, spaced: false };
    return [
      { ...token, text: head, raw: head },
      vocabulary.drop.length > 0 ? withAlternatives(vocabulary, rest) : rest,
    ];
  }
  return [vocabulary.drop.length > 0 ? withAlternatives(vocabulary, token) : token];
};

const COUNTING = new Set([
  'number',
  'times',
  'fraction',
  'part-of',
  'unit',
  'quantity',
  'relative-year',
  'relative-month',
  'relative-day',
  'month',
  'count',
]);

const spokenNumbers = (tokens: readonly Token[], all: readonly Hit[]): Set<number> => {
  const spoken = new Set<number>();
  for (const { start, end, group, pattern } of all) {
    if (end - start < 2 || pattern.gapped || COUNTING.has(group) || CONTEXT_CUES.has(pattern.concept)) continue;
    for (let at = start; at < end; at++) if (tokens[at]?.kind === 'number') spoken.add(at);
  }
  return spoken;
};

const SHORTEST_MISSPELT_NUMBER = 5;

const opensWith = (vocabulary: Vocabulary, token: Token | undefined, group: string): boolean =>
  token?.kind === 'word' && (vocabulary.byFirst.get(token.text) ?? []).some((pattern) => pattern.group === group);

/** "thrity pounds", "quinz mois": a misspelt number before a unit. */
const withNumbersMended = (vocabulary: Vocabulary, tokens: readonly Token[]): readonly Token[] =>
  tokens.map((token, at) => {
    if (token.kind !== 'word' || token.alternatives.length > 0 || token.text.length < SHORTEST_MISSPELT_NUMBER)
      return token;
    if (isKnown(vocabulary, token.text) || !opensWith(vocabulary, tokens[at + 1], 'unit')) return token;
    const meant = closestSpelling(vocabulary, token.text, 'number', SHORTEST_MISSPELT_NUMBER);
    return meant === null ? token : { ...token, alternatives: [meant] };
  });

/** The tokens of a text, words written together parted. */
export const tokensOfText = (vocabulary: Vocabulary, text: string): readonly Token[] => {
  const tokens = tokenise(text, vocabulary.writing);
  if (!vocabulary.strict)
    return withNumbersMended(
      vocabulary,
      tokens.flatMap((token) => refine(vocabulary, token)),
    );
  // Who writes accents wrote none on purpose: "băng sau" is no six.
  const accented = tokens.filter(({ raw, text: bare }) => raw !== bare).length;
  const plain = ({ raw, text: bare }: Token) => raw === bare && vocabulary.plainWords.has(bare);
  return tokens.flatMap((token) =>
    refine(vocabulary, accented > 0 && plain(token) ? { ...token, plain: true } : token),
  );
};

export const messageOf = (vocabulary: Vocabulary, tokens: readonly Token[]): Message => {
  const hits = findHits(vocabulary, tokens);
  const all = hits.flat();
  return {
    vocabulary,
    tokens,
    hits,
    byGroup: Map.groupBy(all, ({ group }) => group),
    spoken: spokenNumbers(tokens, all),
  };
};

export const readWords = (vocabulary: Vocabulary, text: string): Message =>
  messageOf(vocabulary, tokensOfText(vocabulary, text));

/** The longest hit of a group at a token. */
export const hitAt = (message: Message, group: string, start: number, name?: string): Hit | null => {
  let best: Hit | null = null;
  for (const hit of message.hits[start] ?? []) {
    if (hit.group === group && (name === undefined || hit.name === name) && (best === null || hit.end > best.end))
      best = hit;
  }
  return best;
};

const HALF_A_WORD = 0.5;
const HAN_CHARACTER = /^\p{Script=Han}$/u;

/** How many words there are outside the hits of the groups given; a Chinese character counts as half a word. */
export const wordsOutside = (
  message: Message,
  groups: (group: string) => boolean,
  within: (at: number) => boolean = () => true,
): number => {
  const covered = new Set<number>();
  for (const [group, hits] of message.byGroup)
    if (groups(group))
      for (const { start, end, pattern } of hits)
        if ((!pattern.gapped || group === 'relation') && !CONTEXT_CUES.has(pattern.concept))
          for (let at = start; at < end; at++) covered.add(at);
  let words = 0;
  for (const [at, { kind, text, opensWord }] of message.tokens.entries())
    if (kind === 'word' && opensWord && !covered.has(at) && within(at))
      words += HAN_CHARACTER.test(text) ? HALF_A_WORD : 1;
  return words;
};

const NO_HITS: readonly Hit[] = [];

/** The hits of a group in order, of the names given or of all. */
export const hitsOf = (message: Message, group: string, ...names: readonly string[]): readonly Hit[] => {
  const hits = message.byGroup.get(group) ?? NO_HITS;
  return names.length === 0 ? hits : hits.filter(({ name }) => names.includes(name));
};
