/** A way for a child to ride that counts here: which child, and in which seat of the case; null for the belt or a new seat. */
export interface Seating {
  readonly child: number;
  readonly seat: number | null;
  /** Whether a seat that is not in hand is needed for it. */
  readonly newSeat: boolean;
  /** Changes that it takes by itself, the new seat among them. */
  readonly cost: number;
}

/** One number for two sets, as bits, of at most 8 children and 16 seats. */
const SEATS = 2 ** 16;

/**
 * A number of changes that seating some children surely takes. Either what each takes by itself at the least, added up, or
 * one for each child more than there are places and one for each more than can be given different seats of the case;
 * whichever is more. Bit sets; the same question is answered once.
 */
export function fewestNeeded(seatings: readonly Seating[]): (left: number, used: number, places: number) => number {
  const seatsOf = new Map<number, number[]>();
  const unseated = new Set<number>();
  for (const { child, seat, newSeat } of seatings) {
    if (newSeat) continue;
    if (seat === null) unseated.add(child);
    else seatsOf.set(child, [...(seatsOf.get(child) ?? []), seat]);
  }
  const alone: number[] = [];
  for (const { child, cost } of seatings) alone[child] = Math.min(alone[child] ?? cost, cost);
  const known = new Map<number, { readonly seats: number; readonly count: number; readonly alone: number }>();

  /** Children of `left` who cannot all be given seats at once: those beyond the largest matching (augmenting paths). */
  const beyondSeats = (left: number, used: number): number => {
    const holder = new Map<number, number>();
    const seat = (child: number, tried: Set<number>): boolean =>
      (seatsOf.get(child) ?? []).some((one) => {
        if (tried.has(one) || (used & (1 << one)) !== 0) return false;
        tried.add(one);
        const before = holder.get(one);
        if (before !== undefined && !seat(before, tried)) return false;
        holder.set(one, child);
        return true;
      });
    let beyond = 0;
    for (let child = 0; 1 << child <= left; child++)
      if ((left & (1 << child)) !== 0 && !unseated.has(child) && !seat(child, new Set())) beyond++;
    return beyond;
  };

  const factsOf = (left: number, used: number) => {
    const children = alone.flatMap((cost, child) => ((left & (1 << child)) === 0 ? [] : [cost]));
    const added = children.reduce((sum, cost) => sum + cost, 0);
    return { seats: beyondSeats(left, used), count: children.length, alone: added };
  };

  return (left, used, places) => {
    const key = left * SEATS + used;
    const found = known.get(key) ?? factsOf(left, used);
    known.set(key, found);
    return Math.max(found.alone, found.seats + Math.max(0, found.count - places));
  };
}
