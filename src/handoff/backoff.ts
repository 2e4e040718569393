const FIRST_MS = 5_000;
const GROWTH = 4;
const LONGEST_MS = 12 * 60 * 60 * 1000;

/** A delivery is given up after this many tries, one to two days after the first. */
export const MOST_ATTEMPTS = 11;

/**
 * How long to wait after so many tries (1 or more): four times as long after each, up to half a day; then between half
 * and all of that by chance (`random` from 0 to 1), so that what failed together is not tried together.
 */
export function backoffMs(attempts: number, random: number): number {
  const longest = Math.min(FIRST_MS * GROWTH ** (attempts - 1), LONGEST_MS);
  return Math.round(longest * (0.5 + random / 2));
}
