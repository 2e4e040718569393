import type { Ride } from './figures.ts';

/** Smallest group of records that look alike in what others may know of a family (k-anonymity, Sweeney 2002; k by us). */
export const SMALLEST_GROUP = 5;

/** A record without names. `*`: left out, since too few others would look like it. */
export interface AnonymousRide {
  readonly language: string;
  readonly age: string;
  readonly mode: string;
  readonly advised: string;
  readonly kind: string;
  readonly findings: readonly string[];
}

export interface Anonymous {
  readonly records: readonly AnonymousRide[];
  /** How many could not be made to look like enough others, and are left out. */
  readonly leftOut: number;
}

type Known = Pick<AnonymousRide, 'language' | 'age' | 'mode'>;

const key = ({ language, age, mode }: Known): string => JSON.stringify([language, age, mode]);

/** What may be known from outside is coarsened in this order, one step more for those that are still too few. */
const STEPS: readonly ((ride: AnonymousRide) => AnonymousRide)[] = [
  (ride) => ({ ...ride, language: '*' }),
  (ride) => ({ ...ride, language: '*', age: '*' }),
  (ride) => ({ ...ride, language: '*', age: '*', mode: '*' }),
];

function parted(rides: readonly AnonymousRide[]): { enough: AnonymousRide[]; few: AnonymousRide[] } {
  const sizes = new Map<string, number>();
  for (const ride of rides) sizes.set(key(ride), (sizes.get(key(ride)) ?? 0) + 1);
  const isFew = (ride: AnonymousRide) => (sizes.get(key(ride)) ?? 0) < SMALLEST_GROUP;
  return { enough: rides.filter((ride) => !isFew(ride)), few: rides.filter(isFew) };
}

/**
 * Records among which nobody can be told apart by language, age and way of riding: each combination of the three stands at
 * least five times, or is coarsened until it does. Which family a child belongs to, when it came and the order in which
 * families came are left out. Seats and findings, which nobody outside knows, are kept as they are.
 */
export function anonymous(rides: readonly { readonly language: string; readonly ride: Ride }[]): Anonymous {
  let few: AnonymousRide[] = rides.map(({ language, ride }) => ({
    language,
    age: ride.age ?? 'unknown',
    mode: ride.mode ?? 'unknown',
    advised: ride.advised ?? 'unknown',
    kind: ride.kind ?? 'unknown',
    findings: ride.findings,
  }));
  const records: AnonymousRide[] = [];
  for (const step of [(ride: AnonymousRide) => ride, ...STEPS]) {
    const now = parted(few.map(step));
    records.push(...now.enough);
    few = now.few;
  }
  const sortKey = (ride: AnonymousRide) => JSON.stringify(ride);
  return { records: records.toSorted((a, b) => (sortKey(a) < sortKey(b) ? -1 : 1)), leftOut: few.length };
}
