import type { Destination } from '#src/store/outbox.ts';

const FIRST_MS = 5_000;
const GROWTH = 4;
const LONGEST_MS = 12 * 60 * 60 * 1000;

/** A delivery is given up after this many tries, one to two days after the first. */
export const MOST_ATTEMPTS = 11;

/** A message to a caregiver holds up the next one, so that it is tried more often; for about a day too. */
const CAREGIVER_LONGEST_MS = 10 * 60 * 1000;
const CAREGIVER_MOST_ATTEMPTS = 150;

/** How often something is tried at most, and how long the longest pause is. */
export const patienceFor = (destination: Destination): { readonly attempts: number; readonly longestMs: number } =>
  destination === 'caregiver'
    ? { attempts: CAREGIVER_MOST_ATTEMPTS, longestMs: CAREGIVER_LONGEST_MS }
    : { attempts: MOST_ATTEMPTS, longestMs: LONGEST_MS };

/**
 * How long to wait after so many tries (1 or more): four times as long after each, up to the longest; then between half
 * and all of that by chance (`random` from 0 to 1), so that what failed together is not tried together.
 */
export function backoffMs(attempts: number, random: number, longestMs = LONGEST_MS): number {
  const longest = Math.min(FIRST_MS * GROWTH ** (attempts - 1), longestMs);
  return Math.round(longest * (0.5 + random / 2));
}
