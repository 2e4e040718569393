import { z } from 'zod';
import { fold, normalise } from './normalise.ts';

const phrases = z.array(z.string().min(1));

/** Words for the things on the checklists and for an emergency, one file a language. */
export const checklistWordsSchema = z.strictObject({
  /** Words that, just before a thing, say that it is not there. */
  negations: phrases,
  /** By group, by choice id: the ways in which people name the thing. A phrase may hold its own "not". */
  groups: z.record(z.string(), z.record(z.string(), phrases)),
  /** Numbers of children said otherwise than by a number. */
  counts: z.record(z.string(), phrases),
  /** Here "{a|b}" stands for either; `unless` excuses what is said in the same breath, not beside `asides` ("born last year"). */
  emergency: z.strictObject({ words: phrases, unless: phrases, asides: phrases }),
});

export type ChecklistWords = z.infer<typeof checklistWordsSchema>;

/** Words between a negation and the thing it denies. */
const REACH = 3;

/** A script without spaces is matched by its characters. */
export const UNSPACED = /[\p{Script=Han}\p{Script=Thai}]/u;

export const wordsOf = (text: string): string[] =>
  normalise(text)
    .split(/[^\p{L}\p{N}\p{M}]+/u)
    .filter(Boolean)
    .map(fold);

interface Text {
  readonly words: readonly string[];
  readonly spaced: string;
  readonly joined: string;
  /** For each word, and for each character of the joined text, the number of the clause it stands in. */
  readonly clauses: { readonly words: readonly number[]; readonly joined: readonly number[] };
}

export const CLAUSE = /[,;:.!?\n\u060c\u3001\u3002\uff0c\uff01\uff1f]+/u;

const readText = (text: string): Text => {
  const clauses = text.split(CLAUSE).map(wordsOf);
  const words = clauses.flat();
  return {
    words,
    spaced: ` ${words.join(' ')} `,
    joined: words.join(''),
    clauses: {
      words: clauses.flatMap((clause, i) => clause.map(() => i)),
      joined: clauses.flatMap((clause, i) => Array.from({ length: clause.join('').length }, () => i)),
    },
  };
};

interface Phrase {
  readonly spaced: string;
  readonly joined: string | null;
  readonly length: number;
  readonly first: string;
}

const prepared = new Map<string, Phrase>();

/** A phrase as it is looked for; the phrases come from the locales, so that there are only so many. */
function prepare(phrase: string): Phrase {
  const known = prepared.get(phrase);
  if (known) return known;
  const words = wordsOf(phrase);
  const joined = UNSPACED.test(phrase) ? words.join('') : null;
  const made = {
    spaced: ` ${words.join(' ')} `,
    joined,
    length: joined === null ? words.length : joined.length,
    first: words[0] ?? '',
  };
  prepared.set(phrase, made);
  return made;
}

interface Match {
  readonly id: string;
  readonly from: number;
  readonly length: number;
  readonly first: string;
  readonly clause: number | undefined;
}

/** Every place of a phrase, in words from the start; in an unspaced script in characters. */
function findAll(text: Text, phrase: string, id: string): Match[] {
  const { spaced, joined, length, first } = prepare(phrase);
  const [hay, needle] = joined === null ? [text.spaced, spaced] : [text.joined, joined];
  const found: Match[] = [];
  for (let at = hay.indexOf(needle); at >= 0; at = hay.indexOf(needle, at + 1)) {
    const from = joined === null ? hay.slice(0, at).split(' ').filter(Boolean).length : at;
    found.push({ id, from, length, first, clause: text.clauses[joined === null ? 'words' : 'joined'][from] });
  }
  return found;
}

const overlaps = (a: Match, b: Match): boolean => a.from < b.from + b.length && b.from < a.from + a.length;

interface Sorted {
  readonly named: readonly string[];
  readonly denied: readonly string[];
}

/** Ids of the things of a group that a text names and denies. Longer phrases count before shorter ones inside them. */
function sortOut(text: string, words: ChecklistWords, group: string): Sorted {
  const read = readText(text);
  const negations = words.negations.flatMap((phrase) => findAll(read, phrase, 'not'));
  const denials = new Set(words.negations.map((phrase) => prepare(phrase).first));
  const matches = Object.entries(words.groups[group] ?? {})
    .flatMap(([id, ways]) => ways.flatMap((way) => findAll(read, way, id)))
    .sort((a, b) => b.length - a.length);
  const kept: Match[] = [];
  for (const match of matches) if (!kept.some((other) => overlaps(other, match))) kept.push(match);
  // "No, not hooked" and "no not hooked" deny nothing: the thing named holds its own "not".
  const free = negations.filter((not) => !kept.some((match) => denials.has(match.first) && overlaps(not, match)));
  const denied = ({ from, first, clause }: Match): boolean =>
    !denials.has(first) &&
    free.some((not) => {
      const end = not.from + not.length;
      return end <= from && from - end < REACH && not.clause === clause;
    });
  const ids = (of: readonly Match[]): string[] => [...new Set(of.map(({ id }) => id))];
  return { named: ids(kept.filter((match) => !denied(match))), denied: ids(kept.filter(denied)) };
}

/** Ids of the things of a group that a text names. */
export const readKeywords = (text: string, words: ChecklistWords, group: string): readonly string[] =>
  sortOut(text, words, group).named;

/** The id of a group whose phrase is all of a text; null where it says anything more. */
export function readWhole(text: string, words: ChecklistWords, group: string): string | null {
  const { spaced } = readText(text);
  const found = Object.entries(words.groups[group] ?? {}).find(([, ways]) =>
    ways.some((way) => prepare(way).spaced === spaced),
  );
  return found?.[0] ?? null;
}

/** Ids of the things of a group that a text says are not there: "no coat". */
export const readDenied = (text: string, words: ChecklistWords, group: string): readonly string[] =>
  sortOut(text, words, group).denied;

/** Phrases as they are looked for; the spaced ones by their first word, so that few are held against a text. */
interface Ways {
  readonly spaced: ReadonlyMap<string, readonly string[]>;
  readonly joined: readonly string[];
}

const sorted = new WeakMap<readonly string[], Ways>();

function sortWays(ways: readonly string[]): Ways {
  const known = sorted.get(ways);
  if (known) return known;
  const phrases = ways.map(prepare);
  const byFirst = Map.groupBy(
    phrases.filter(({ joined }) => joined === null),
    ({ first }) => first,
  );
  const made = {
    spaced: new Map([...byFirst].map(([first, some]) => [first, some.map(({ spaced }) => spaced)])),
    joined: phrases.flatMap(({ joined }) => joined ?? []),
  };
  sorted.set(ways, made);
  return made;
}

function names(text: Text, ways: readonly string[]): boolean {
  const { spaced, joined } = sortWays(ways);
  return (
    text.words.some((word) => spaced.get(word)?.some((phrase) => text.spaced.includes(phrase))) ||
    joined.some((phrase) => text.joined.includes(phrase))
  );
}

/** "twins", "just the one": a number of children said by a word of its own. */
export function readCountWord(text: string, { counts }: ChecklistWords): number | null {
  const read = readText(text);
  const found = Object.entries(counts).find(([, ways]) => names(read, ways));
  return found ? Number(found[0]) : null;
}
