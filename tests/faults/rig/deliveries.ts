import type { Chance } from '../../families/chance.ts';

/** One arrival of a message, of which others may arrive too. */
export interface Arrival {
  readonly family: number;
  /** Of this family's messages. */
  readonly message: number;
}

/** So far apart, in arrivals, may two messages come the wrong way round. */
const WINDOW = 30;

/**
 * All messages of all families, each once or more, `total` arrivals in all, in the order of a network that repeats and
 * overtakes: most come near their place, some repetitions long after.
 */
export function shuffledArrivals(
  chance: Chance,
  families: number,
  messages: number,
  total: number,
): readonly Arrival[] {
  const once = Array.from({ length: messages }, (_, message) =>
    Array.from({ length: families }, (_, family) => ({ family, message })),
  ).flat();
  const again = Array.from({ length: total - once.length }, () => chance.whole(0, once.length - 1));
  const placed = [
    ...once.map((arrival, at) => ({ arrival, at: at + chance.between(0, WINDOW) })),
    ...again.map((at) => ({
      arrival: once[at] as Arrival,
      at: chance.happens(0.1) ? chance.between(at, once.length) : at + chance.between(0, WINDOW),
    })),
  ];
  return placed.toSorted((a, b) => a.at - b.at).map(({ arrival }) => arrival);
}
