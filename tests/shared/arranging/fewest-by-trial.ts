import type { AdvisedMode, Case, Position, Seat } from '#shared/case.ts';
import { advised, allFit, type Chosen, type Exact, MODES, mayRide, placeAllowed } from './brute-force.ts';

/** What can be changed at a place, each by itself one change. */
const PLACE_CHANGES: readonly Partial<Position>[] = [
  { tetherAnchor: true },
  { frontAirBag: 'off' },
  { belt: 'lap-shoulder' },
];

/** The fewest changes at a place for a mode to be allowed there; null where none help. */
function changesAt(mode: AdvisedMode, position: Position): number | null {
  let fewest: number | null = null;
  for (let bits = 0; bits < 2 ** PLACE_CHANGES.length; bits++) {
    const changes = PLACE_CHANGES.filter((_, i) => (bits & (1 << i)) !== 0);
    if (!placeAllowed(mode, Object.assign({}, position, ...changes))) continue;
    fewest = Math.min(fewest ?? changes.length, changes.length);
  }
  return fewest;
}

interface Way extends Chosen {
  readonly cost: number;
}

/**
 * The fewest changes after which all children can be seated, by trying every seat, mode and place of one child after
 * another, with nothing but "dearer than allowed" to cut it short. `exchange`: any child may have any seat. Null where
 * more than `most` are needed.
 */
export function fewestByTrial(family: Case, exchange: boolean, most: number): number | null {
  const positions = family.vehicle?.positions ?? [];
  const children = family.children as Exact[];
  const ownOf = (id: string) => family.uses.find(({ childId }) => childId === id)?.seatId ?? null;
  const newSeats = children.flatMap((child): { seat: Seat; mode: AdvisedMode; childId: string }[] => {
    const mode = MODES[advised(child, null)] as AdvisedMode;
    if (mode === 'seat-belt') return [];
    const none = { minWeightKg: null, maxWeightKg: null, minHeightCm: null, maxHeightCm: null, minAgeMonths: null };
    const widthCm = family.seats.find(({ id }) => id === ownOf(child.id))?.widthCm;
    return [{ seat: { id: `new ${child.id}`, widthCm, modes: { [mode]: none } }, mode, childId: child.id }];
  });
  const whole: Case = { ...family, seats: [...family.seats, ...newSeats.map(({ seat }) => seat)] };
  const seatsOf = (child: Exact): (Seat | null)[] => {
    const own = ownOf(child.id);
    const free = family.seats.filter(({ id }) => !family.uses.some(({ seatId }) => seatId === id));
    const mine = own === null ? free : family.seats.filter(({ id }) => id === own);
    return [null, ...(exchange ? family.seats : mine)];
  };
  const waysOf = (child: Exact): Way[] => {
    const rides = [
      ...seatsOf(child).flatMap((seat) => MODES.map((mode) => ({ seat, mode, cost: 0 }))),
      ...newSeats.filter(({ childId }) => childId === child.id).map(({ seat, mode }) => ({ seat, mode, cost: 1 })),
    ].filter(({ seat, mode }) => mayRide(child, seat, mode));
    const ways = rides.flatMap(({ seat, mode, cost }): Way[] => [
      ...positions.flatMap((position): Way[] => {
        const more = changesAt(mode, position);
        return more === null
          ? []
          : [{ childId: child.id, seatId: seat?.id ?? null, positionId: position.id, mode, cost: cost + more }];
      }),
      { childId: child.id, seatId: seat?.id ?? null, positionId: '', mode, cost: cost + 1 },
    ]);
    // Of ways that differ in the mode alone, one that costs least.
    const least = new Map<string, Way>();
    for (const way of ways) {
      const key = [way.seatId, way.positionId, way.mode === 'seat-belt'].join(' ');
      if ((least.get(key)?.cost ?? Number.POSITIVE_INFINITY) > way.cost) least.set(key, way);
    }
    return [...least.values()];
  };
  const ways = children.map(waysOf);
  const narrowable = family.seats.filter(({ widthCm }) => widthCm != null).map(({ id }) => id);
  const narrowed = (ids: readonly string[]): Case => ({
    ...whole,
    seats: whole.seats.map((seat) => (ids.includes(seat.id) ? { ...seat, widthCm: null } : seat)),
  });
  /** Whether all fit side by side with so many seats narrower. */
  const fits = (places: readonly Way[], left: number, ids: readonly string[] = [], from = 0): boolean => {
    const known = places.filter(({ positionId }) => positionId !== '');
    if (allFit(narrowed(ids), known)) return true;
    if (left === 0) return false;
    return narrowable.some((id, i) => i >= from && fits(places, left - 1, [...ids, id], i + 1));
  };
  const seat = (at: number, places: readonly Way[], left: number): boolean => {
    if (at === children.length) return fits(places, left);
    return (ways[at] ?? []).some(
      (way) =>
        way.cost <= left &&
        !places.some(
          (one) =>
            (way.positionId !== '' && one.positionId === way.positionId) ||
            (way.seatId !== null && one.seatId === way.seatId),
        ) &&
        seat(at + 1, [...places, way], left - way.cost),
    );
  };
  for (let budget = 0; budget <= most; budget++) if (seat(0, [], budget)) return budget;
  return null;
}
