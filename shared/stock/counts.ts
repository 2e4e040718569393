import type { Bounds } from './odds.ts';

/** So often what is brought shall suffice. */
export const SUFFICES = 0.9;

/** Rounding in sums of hundreds of products; far below what any answer turns on. */
const ROUNDING = 1e-12;

/**
 * How likely each number of needs is, from none to all, where each arises by itself with its own probability: the
 * Poisson-binomial distribution, exactly, one need after another.
 */
export function countDistribution(odds: readonly number[]): readonly number[] {
  let counts = [1];
  for (const p of odds)
    counts = Array.from(
      { length: counts.length + 1 },
      (_, number) => (counts[number] ?? 0) * (1 - p) + (counts[number - 1] ?? 0) * p,
    );
  return counts;
}

/** The least number that suffices with probability `share` where each need arises with its own probability. */
export function enoughFor(odds: readonly number[], share: number = SUFFICES): number {
  let reached = 0;
  for (const [number, probability] of countDistribution(odds).entries()) {
    reached += probability;
    if (reached >= share - ROUNDING) return number;
  }
  return odds.length;
}

/** The number to bring, from the least that may suffice to what suffices in any case: more likely needs never lower it. */
export const enoughWithin = (odds: readonly Bounds[]): Bounds => ({
  low: enoughFor(odds.map(({ low }) => low)),
  high: enoughFor(odds.map(({ high }) => high)),
});
