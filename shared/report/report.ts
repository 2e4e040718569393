import { SMALLEST_GROUP } from './anonymous.ts';
import type { Ride } from './figures.ts';
import type { Seen } from './seen.ts';

/** One case of a family as a report counts it. */
export interface ReportedFamily {
  /** The same for the cases of one family, which may come with two cars; never given out. */
  readonly family: string;
  readonly language: string;
  readonly rides: readonly Ride[];
  /** Null where no visit was recorded. */
  readonly visit: { readonly signed: boolean; readonly seen: readonly Seen[] } | null;
}

export interface Share {
  readonly part: number;
  readonly whole: number;
}

export interface ReportLine extends Share {
  readonly name: string;
}

export interface Report {
  readonly families: number;
  readonly children: number;
  /** Children in a seat in whose report nothing is to be corrected, of all children. */
  readonly reportedRight: Share;
  /** At signed visits: children for whom nothing was found to correct, of all children seen. */
  readonly foundRight: Share;
  /** Of what was found at signed visits, how much was corrected there. */
  readonly corrected: Share;
  /** Of what was expected from the report, how much was not there at signed visits. */
  readonly notFound: Share;
  readonly visits: number;
  readonly signed: number;
  /** How many children each finding concerns, the most frequent first. */
  readonly findings: readonly ReportLine[];
  /** Children with nothing to correct, of those who ride that way, or whose family speaks that language. */
  readonly byMode: readonly ReportLine[];
  readonly byLanguage: readonly ReportLine[];
}

const right = ({ findings }: Ride): boolean => findings.length === 0;

/** Groups of fewer than five are put together as `other`, and left out where they are too few even so. */
function grouped(rides: readonly (readonly [name: string, ride: Ride])[]): readonly ReportLine[] {
  const count = (pairs: typeof rides): ReportLine[] => {
    const groups = new Map<string, ReportLine>();
    for (const [name, ride] of pairs) {
      const { part, whole } = groups.get(name) ?? { part: 0, whole: 0 };
      groups.set(name, { name, part: part + (right(ride) ? 1 : 0), whole: whole + 1 });
    }
    return [...groups.values()];
  };
  const sizes = new Map(count(rides).map(({ name, whole }) => [name, whole]));
  const pairs = rides.map(([name, ride]) => [(sizes.get(name) ?? 0) < SMALLEST_GROUP ? 'other' : name, ride] as const);
  return count(pairs)
    .filter(({ whole }) => whole >= SMALLEST_GROUP)
    .toSorted((a, b) => b.whole - a.whole || (a.name < b.name ? -1 : 1));
}

/** Counts families. A share never stands without its whole: few are few. */
export function reportOf(families: readonly ReportedFamily[]): Report {
  const rides = families.flatMap(({ language, rides: all }) => all.map((ride) => ({ language, ride })));
  const visited = families.flatMap(({ rides: all, visit }) => (visit ? [{ rides: all, ...visit }] : []));
  // What is not signed may still be looked at and mended.
  const done = visited.filter(({ signed }) => signed);
  const seen = done.flatMap((visit) => visit.seen);
  const with_ = (verdict: Seen['verdict']) => seen.filter((one) => one.verdict === verdict).length;
  const found = with_('confirmed') + with_('corrected');
  const isFound = ({ seen: said }: (typeof visited)[number], ride: Ride) =>
    said.some(
      ({ verdict, childId, seatId }) =>
        verdict !== 'not-found' &&
        (childId === ride.childId || (childId === null && seatId !== null && seatId === ride.seatId)),
    );
  const looked = done.flatMap((visit) => visit.rides.map((ride) => isFound(visit, ride)));
  const codes = new Map<string, number>();
  for (const { ride } of rides) for (const code of ride.findings) codes.set(code, (codes.get(code) ?? 0) + 1);
  return {
    families: new Set(families.map(({ family }) => family)).size,
    children: rides.length,
    reportedRight: { part: rides.filter(({ ride }) => right(ride)).length, whole: rides.length },
    foundRight: { part: looked.filter((wrong) => !wrong).length, whole: looked.length },
    corrected: { part: with_('corrected'), whole: found },
    notFound: { part: with_('not-found'), whole: seen.length },
    visits: visited.length,
    signed: visited.filter(({ signed }) => signed).length,
    findings: [...codes]
      .map(([name, part]) => ({ name, part, whole: rides.length }))
      .toSorted((a, b) => b.part - a.part || (a.name < b.name ? -1 : 1)),
    byMode: grouped(rides.map(({ ride }) => [ride.mode ?? 'unknown', ride])),
    byLanguage: grouped(rides.map(({ language, ride }) => [language, ride])),
  };
}
