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
  emergency: z.strictObject({ words: phrases, unless: phrases }),
});

export type ChecklistWords = z.infer<typeof checklistWordsSchema>;

/** Words between a negation and the thing it denies. */
const REACH = 3;

/** A script without spaces is matched by its characters. */
const UNSPACED = /[\p{Script=Han}\p{Script=Thai}]/u;

const wordsOf = (text: string): string[] =>
  normalise(text)
    .split(/[^\p{L}\p{N}\p{M}]+/u)
    .filter(Boolean)
    .map(fold);

interface Text {
  readonly words: readonly string[];
  readonly spaced: string;
  readonly joined: string;
}

const readText = (text: string): Text => {
  const words = wordsOf(text);
  return { words, spaced: ` ${words.join(' ')} `, joined: words.join('') };
};

interface Match {
  readonly id: string;
  readonly from: number;
  readonly length: number;
}

/** Where a phrase stands, in words from the start; a phrase of an unspaced script has no place, only a length. */
function find({ spaced, joined }: Text, phrase: string, id: string): Match | null {
  const words = wordsOf(phrase);
  if (UNSPACED.test(phrase)) {
    const at = joined.indexOf(words.join(''));
    return at < 0 ? null : { id, from: at, length: words.join('').length };
  }
  const at = spaced.indexOf(` ${words.join(' ')} `);
  return at < 0 ? null : { id, from: spaced.slice(0, at).split(' ').filter(Boolean).length, length: words.length };
}

const overlaps = (a: Match, b: Match): boolean => a.from < b.from + b.length && b.from < a.from + a.length;

/** Ids of the things of a group that a text names. Longer phrases count before shorter ones inside them. */
export function readKeywords(text: string, words: ChecklistWords, group: string): readonly string[] {
  const read = readText(text);
  const negations = words.negations.flatMap((phrase) => find(read, phrase, 'not') ?? []);
  const matches = Object.entries(words.groups[group] ?? {})
    .flatMap(([id, ways]) => ways.flatMap((way) => find(read, way, id) ?? []))
    .sort((a, b) => b.length - a.length);
  const kept: Match[] = [];
  for (const match of matches) if (!kept.some((other) => overlaps(other, match))) kept.push(match);
  const denied = ({ from }: Match): boolean =>
    negations.some((not) => not.from + not.length <= from && from - (not.from + not.length) < REACH);
  return [...new Set(kept.filter((match) => !denied(match)).map(({ id }) => id))];
}

const names = (text: Text, ways: readonly string[]): boolean => ways.some((way) => find(text, way, '') !== null);

/** A crash just now, an injured child, a child not breathing; not one of long ago. */
export function readEmergency(text: string, { emergency }: ChecklistWords): boolean {
  const read = readText(text);
  return names(read, emergency.words) && !names(read, emergency.unless);
}

/** "twins", "just the one": a number of children said by a word of its own. */
export function readCountWord(text: string, { counts }: ChecklistWords): number | null {
  const read = readText(text);
  const found = Object.entries(counts).find(([, ways]) => names(read, ways));
  return found ? Number(found[0]) : null;
}
