import type { Position, Use } from '../case.ts';

/**
 * What makes one allowed plan better than another, the weightiest first; each counts before all below it:
 * front (fewest children known to be under 13 in row 1; plans with more are not allowed, S-097, S-142, S-157), mode (fewest
 * steps below the most protective mode advised, over all children, S-158), care (a free place beside each child who needs
 * care, S-167), exposure (row 1 counts 2, a side place 1, a middle one 0; common practice), changes (seats, places and modes
 * that differ from today; common practice), open (fewest reasons that only say what is not known).
 * Eight children reach 8·3 steps, 8 children in care, 8·2 of exposure, 8·3 changes and fewer than 512 open reasons.
 */
const BASE = { open: 512, changes: 64, exposure: 64, care: 32, mode: 64 };
const changes = BASE.open;
const exposure = changes * BASE.changes;
const care = exposure * BASE.exposure;
const mode = care * BASE.care;
const front = mode * BASE.mode;

/** One step of each preference as a summand, so that sums compare in the order above. */
export const WEIGHT = { open: 1, changes, exposure, care, mode, front } as const;

/** How many children under 13 a plan of this cost has in front. */
export const inFront = (cost: number): number => Math.floor(cost / WEIGHT.front);

/** How exposed a position is: the front most, then the sides; a row or side that is not known as a side place. */
export const exposureOf = ({ row, side }: Position): number => (row === 1 ? 2 : side === 'center' ? 0 : 1);

/** How many of seat, place and mode differ from a use today; what is not known today is no change. */
export const changesFrom = (
  use: Use | null,
  place: { readonly seatId: string | null; readonly positionId: string; readonly mode: string },
): number => {
  const differs = (today: string | null | undefined, then: string | null) => today != null && today !== then;
  return [
    differs(use?.seatId, place.seatId),
    differs(use?.positionId, place.positionId),
    differs(use?.mode, place.mode),
  ].filter(Boolean).length;
};
