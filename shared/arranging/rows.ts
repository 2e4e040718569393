import type { Position, Seat } from '../case.ts';
import type { Interval } from '../interval.ts';
import { maybeAbove, surelyAbove, toInterval } from '../interval.ts';
import type { Option } from './options.ts';

/** Positions side by side, by their place in the list; one whose row is not known stands alone. */
export type Row = readonly number[];

/** The rows of a vehicle in the order of its positions. */
export const rowsOf = (positions: readonly Position[]): readonly Row[] => {
  const rows = new Map<string, number[]>();
  for (const [i, { row, id }] of positions.entries()) {
    const key = row == null ? `alone ${id}` : String(row);
    const found = rows.get(key);
    if (found) found.push(i);
    else rows.set(key, [i]);
  }
  return [...rows.values()];
};

const SIDES = ['left', 'center', 'right'] as const;

/** Whether two positions of one row are next to each other; not where a side is not known. */
const beside = (a: Position, b: Position, row: readonly Position[]): boolean => {
  if (a.row == null || a.side == null || b.side == null) return false;
  const apart = Math.abs(SIDES.indexOf(a.side) - SIDES.indexOf(b.side));
  return apart === 1 || (apart === 2 && !row.some(({ side }) => side === 'center'));
};

/** How many of the children in care in this row have no free place beside them where an adult could sit (S-167). */
export const withoutAdultPlace = (row: readonly Position[], taken: ReadonlySet<string>, inCare: readonly string[]) =>
  inCare.filter((id) => {
    const own = row.find((position) => position.id === id) as Position;
    return !row.some(
      (other) => !taken.has(other.id) && other.facing !== 'side' && other.facing !== 'rear' && beside(own, other, row),
    );
  }).length;

const ANY: Interval = { min: 0, max: Number.POSITIVE_INFINITY };

const sum = (widths: readonly (Interval | null)[]): Interval =>
  widths.reduce<Interval>((all, width) => ({ min: all.min + (width ?? ANY).min, max: all.max + (width ?? ANY).max }), {
    min: 0,
    max: 0,
  });

/**
 * Whether the seats of a row fit side by side: their outer widths against the usable widths of the row's positions
 * (common practice). A seat may reach into a free neighbour's width; a child on the belt alone keeps the own place.
 */
export const widthsFit = (
  row: readonly Position[],
  riders: readonly Pick<Option, 'seat' | 'positionId' | 'mode'>[],
  seats: readonly Seat[],
  narrowed: ReadonlySet<number> = new Set(),
): 'yes' | 'no' | 'unknown' => {
  const seated = riders.filter(({ mode }) => mode !== 'seat-belt');
  const kept = new Set(riders.filter(({ mode }) => mode === 'seat-belt').map(({ positionId }) => positionId));
  const needed = sum(
    seated.map(({ seat }) => (seat === null || narrowed.has(seat) ? null : toInterval(seats[seat]?.widthCm))),
  );
  const usable = sum(row.filter(({ id }) => !kept.has(id)).map(({ widthCm }) => toInterval(widthCm)));
  if (surelyAbove(needed, usable)) return 'no';
  return riders.length > 1 && seated.length > 0 && maybeAbove(needed, usable) ? 'unknown' : 'yes';
};
