import type { Vocabulary } from './vocabulary.ts';

const LONG_WORD = 8;
const WORKED_WORD = 24;

/** Whether two words differ by at most `most` letters added, left out, changed or swapped with a neighbour. */
export const isWithin = (left: string, right: string, most: number): boolean => {
  if (Math.abs(left.length - right.length) > most) return false;
  let previous: number[] = [];
  let current = Array.from({ length: right.length + 1 }, (_, index) => index);
  let older: number[];
  for (let row = 1; row <= left.length; row++) {
    older = previous;
    previous = current;
    current = [row];
    for (let column = 1; column <= right.length; column++) {
      const same = left[row - 1] === right[column - 1];
      let cost = Math.min(
        (previous[column] ?? 0) + 1,
        (current[column - 1] ?? 0) + 1,
        (previous[column - 1] ?? 0) + (same ? 0 : 1),
      );
      const swapped =
        row > 1 && column > 1 && left[row - 1] === right[column - 2] && left[row - 2] === right[column - 1];
      if (swapped) cost = Math.min(cost, (older[column - 2] ?? 0) + 1);
      current.push(cost);
    }
  }
  return (current[right.length] ?? 0) <= most;
};

const targets = new WeakMap<Vocabulary, Map<string, [string, string][]>>();

const targetsOf = (vocabulary: Vocabulary, group: string): [string, string][] => {
  const groups = targets.get(vocabulary) ?? new Map<string, [string, string][]>();
  targets.set(vocabulary, groups);
  const known = groups.get(group);
  if (known) return known;
  const found: [string, string][] = [];
  for (const patterns of [...vocabulary.byFirst.values(), ...vocabulary.byStem.values()])
    for (const { group: own, name, words, borrowed } of patterns) {
      const [word] = words;
      // "marca" is no "march".
      const foreign = group === 'month' && borrowed === 1;
      if (own === group && !foreign && words.length === 1 && word && word.text.length >= 4)
        found.push([word.text, name]);
    }
  groups.set(group, found);
  return found;
};

/**
 * What a misspelt word of a group most likely is, and how it is spelt: one letter off from four letters on, two from eight
 * on, same first letter, and only where a single meaning is near. Null for a word the language knows, or where two
 * meanings are near.
 */
const nearest = (
  vocabulary: Vocabulary,
  word: string,
  group: string,
  shortest: number,
): { name: string; target: string } | null => {
  if (word.length < shortest || word.length > WORKED_WORD || vocabulary.known.has(word)) return null;
  const near = new Map<string, string>();
  for (const [target, name] of targetsOf(vocabulary, group)) {
    if (target[0] !== word[0] || target.length < shortest) continue;
    const most = Math.min(target.length, word.length) >= LONG_WORD ? 2 : 1;
    if (isWithin(word, target, most)) near.set(name, target);
  }
  const [only] = near;
  return near.size === 1 && only ? { name: only[0], target: only[1] } : null;
};

/** The meaning of a misspelt word of a group, or null. */
export const closest = (vocabulary: Vocabulary, word: string, group: string, shortest = 4): string | null =>
  nearest(vocabulary, word, group, shortest)?.name ?? null;

/** The right spelling of a misspelt word of a group, or null. */
export const closestSpelling = (vocabulary: Vocabulary, word: string, group: string, shortest: number): string | null =>
  nearest(vocabulary, word, group, shortest)?.target ?? null;
