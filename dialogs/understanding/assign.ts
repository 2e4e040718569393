import type { Quantity } from './quantities.ts';
import type { Scope } from './scope.ts';
import type { AskedSlot } from './types.ts';
import type { Dimension } from './units.ts';
import { hitAt, hitsOf, type Message } from './words.ts';

export interface Assigned {
  readonly quantity: Quantity;
  readonly dimension: Dimension;
  /** Named by a word beside it ("pesa 22"), not only by the question. */
  readonly labelled: boolean;
}

const LABELS: readonly Dimension[] = ['weight', 'height', 'age'];
const BESIDE = 2;

const labelOf = (
  message: Message,
  scope: Scope,
  quantities: readonly Quantity[],
  quantity: Quantity,
): Dimension | null => {
  const earlier = quantities.filter(({ end }) => end <= quantity.start).at(-1)?.end ?? 0;
  let best: { name: Dimension; away: number } | null = null;
  for (const hit of hitsOf(message, 'cue', ...LABELS)) {
    if (scope.clause[hit.start] !== scope.clause[quantity.start]) continue;
    const before = hit.end <= quantity.start && hit.start >= earlier;
    const behind = hit.start >= quantity.end && hit.start - quantity.end <= BESIDE;
    // "is 4 and weighs 38": a word that leads up to the next number says nothing of this one.
    const leads = behind && quantities.some(({ start }) => start >= hit.end && start - hit.end <= BESIDE);
    if (!before && (!behind || leads)) continue;
    const away = before ? quantity.start - hit.end : hit.start - quantity.end + BESIDE;
    if (best === null || away < best.away) best = { name: hit.name as Dimension, away };
  }
  return best?.name ?? null;
};

/** "hes 4", "tiene 3", "almost 4": what is said of a child without naming a measure is its age. */
const isSaidAge = (message: Message, quantity: Quantity): boolean =>
  hitsOf(message, 'relation', 'almost', 'just-turned').some(
    ({ end }) => end === quantity.start || (end + 1 === quantity.start && message.tokens[end]?.text === '-'),
  ) ||
  hitsOf(message, 'cue', 'old').some(
    ({ end, start }) =>
      (end <= quantity.start && quantity.start - end <= BESIDE) ||
      // "3 đứa con": children are counted, not aged.
      (start === quantity.end && hitAt(message, 'cue', start, 'this-child') === null),
  );

const isPlainWord = (message: Message, quantity: Quantity): boolean =>
  quantity.number?.digits === false &&
  quantity.said[0] <= 1 &&
  message.tokens.filter(({ kind }) => kind === 'word').length > 3;

const askedDimension = (asked: AskedSlot | null): Dimension | null =>
  asked === 'weight' || asked === 'height' || asked === 'age' ? asked : null;

/** What may follow an age said as a bare number. */
const ENDS = new Set(['and', 'but', 'now', 'this-child', 'weight', 'height']);

/** What each quantity measures: its unit says so, else the word beside it, else the question. */
export const assign = (
  message: Message,
  scope: Scope,
  quantities: readonly Quantity[],
  asked: AskedSlot | null,
): Assigned[] => {
  const wanted = askedDimension(asked);
  const answered = quantities.some(({ dimension }) => dimension !== null && dimension === wanted);
  return quantities.flatMap((quantity): Assigned[] => {
    const label = labelOf(message, scope, quantities, quantity);
    if (quantity.dimension)
      return [{ quantity, dimension: quantity.dimension, labelled: label === quantity.dimension }];
    // "один ребёнок": a child is counted, not aged.
    const counts = quantity.number?.digits === false && hitAt(message, 'cue', quantity.end, 'this-child') !== null;
    if ((counts || isPlainWord(message, quantity)) && label === null) return [];
    if (label) return [{ quantity, dimension: label, labelled: true }];
    if (wanted && !answered)
      return [{ quantity, dimension: wanted, labelled: wanted === 'age' && isSaidAge(message, quantity) }];
    const child = hitsOf(message, 'cue', 'this-child').some(
      ({ start }) => scope.clause[start] === scope.clause[quantity.start],
    );
    const after = message.tokens[quantity.end];
    const ends =
      after === undefined || after.kind === 'mark' || message.hits[quantity.end]?.some(({ name }) => ENDS.has(name));
    const mayBeAge =
      asked === null ||
      answered ||
      wanted === 'age' ||
      (wanted === null && child && ends === true && quantity.number?.digits === true);
    const saidAge = mayBeAge && isSaidAge(message, quantity);
    return saidAge && quantity.said[0] <= 12 ? [{ quantity, dimension: 'age', labelled: true }] : [];
  });
};
