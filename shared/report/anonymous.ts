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

/** A record and whose it is: a child that rides in two cars has two, and is one child. */
interface OfChild {
  readonly record: AnonymousRide;
  readonly child: string;
}

/** What may be known from outside is coarsened in this order, one step more for those that are still too few. */
const STEPS: readonly ((ride: AnonymousRide) => AnonymousRide)[] = [
  (ride) => ({ ...ride, language: '*' }),
  (ride) => ({ ...ride, language: '*', age: '*' }),
  (ride) => ({ ...ride, language: '*', age: '*', mode: '*' }),
];

function parted(rides: readonly OfChild[]): { enough: OfChild[]; few: OfChild[] } {
  const children = new Map<string, Set<string>>();
  for (const { record, child } of rides) children.set(key(record), (children.get(key(record)) ?? new Set()).add(child));
  const isFew = ({ record }: OfChild) => (children.get(key(record))?.size ?? 0) < SMALLEST_GROUP;
  return { enough: rides.filter((ride) => !isFew(ride)), few: rides.filter(isFew) };
}

/**
 * Records among which nobody can be told apart by language, age and way of riding: each combination of the three is that
 * of at least five children, or is coarsened until it does. Which family a child belongs to, when it came and the order in which
 * families came are left out. Seats and findings, which nobody outside knows, are kept as they are.
 */
export function anonymous(
  rides: readonly { readonly family: string; readonly language: string; readonly ride: Ride }[],
): Anonymous {
  const recordOf = (language: string, ride: Ride): AnonymousRide => ({
    language,
    age: ride.age ?? 'unknown',
    mode: ride.mode ?? 'unknown',
    advised: ride.advised ?? 'unknown',
    kind: ride.kind ?? 'unknown',
    findings: ride.findings,
  });
  let few = rides.map(
    ({ family, language, ride }): OfChild => ({
      record: recordOf(language, ride),
      child: JSON.stringify([family, ride.childId]),
    }),
  );
  const records: AnonymousRide[] = [];
  for (const step of [(ride: AnonymousRide) => ride, ...STEPS]) {
    const now = parted(few.map(({ record, child }) => ({ record: step(record), child })));
    records.push(...now.enough.map(({ record }) => record));
    few = now.few;
  }
  const sortKey = (ride: AnonymousRide) => JSON.stringify(ride);
  return { records: records.toSorted((a, b) => (sortKey(a) < sortKey(b) ? -1 : 1)), leftOut: few.length };
}
