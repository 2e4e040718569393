import type { Case, Position, Seat } from '../case.ts';
import type { Change } from './changes.ts';
import { CHANGES, changedPosition, idealPosition, idealSeat, LIFTED_BY, NEW_SEAT } from './changes.ts';
import type { Option, Riding } from './options.ts';
import { atPosition, modeWithoutSeat, riding } from './options.ts';
import type { Locks } from './plan-table.ts';
import { ridingsOf } from './plan-table.ts';
import type { Row } from './rows.ts';
import { rowsOf, widthsFit } from './rows.ts';

/** Among more children, what would help is looked for with the seats as they are: then a smaller set may be missed. */
const MOST_EXCHANGING = 4;

/** More sets than this are not told. */
const MOST_SETS = 50;

type Set_ = readonly string[];

interface ChangedOption extends Pick<Option, 'child' | 'seat' | 'mode' | 'positionId'> {
  readonly changes: Set_;
}

/** The smallest number of changes, and every set of that size. */
interface Smallest {
  readonly size: number;
  readonly sets: ReadonlyMap<string, Set_>;
}

const NONE: Smallest = { size: Number.POSITIVE_INFINITY, sets: new Map() };
const NOTHING: Smallest = { size: 0, sets: new Map([['', []]]) };

const rank = (change: string): number => CHANGES.indexOf(change.split(':')[0] as Change);
const compare = (a: string, b: string): number => rank(a) - rank(b) || (a < b ? -1 : a > b ? 1 : 0);
const sorted = (changes: Set_): Set_ => [...changes].sort(compare);

/** For each child another seat of the advised mode, as wide as the one in hand: it stands after the seats of the case. */
const newSeats = (family: Case): readonly { seat: Seat; riding: Riding | null }[] =>
  family.children.map(({ id }, child) => {
    const mode = modeWithoutSeat(family, child);
    const seat = idealSeat(family, `${NEW_SEAT[mode]}:${id}`, mode);
    const found =
      mode === 'seat-belt' ? null : riding(family, child, { index: family.seats.length + child, seat }, mode);
    return { seat, riding: found };
  });

/** A riding at a position, with the changes it takes there; null where no change helps. */
const optionAt = (rides: Riding, position: Position, index: number, before: Set_): ChangedOption | null => {
  const verdict = atPosition(rides, position, index);
  if ('option' in verdict) return { ...verdict.option, changes: before };
  const lifted = verdict.blockedBy.map((code) => LIFTED_BY[code]);
  if (lifted.some((change) => change === undefined)) return null;
  const changes = lifted as Change[];
  const after = atPosition(rides, changedPosition(position, changes), index);
  return 'option' in after
    ? { ...after.option, changes: [...before, ...changes.map((change) => `${change}:${position.id}`)] }
    : null;
};

/** Every smallest choice of seats that would have to be narrower for a row's riders to fit. */
const narrowings = (
  { seats: own }: Case,
  seats: readonly Seat[],
  row: readonly Position[],
  riders: readonly ChangedOption[],
): readonly Set_[] => {
  if (widthsFit(row, riders, seats) !== 'no') return [[]];
  const wide = riders.flatMap(({ seat }) => (seat !== null && own[seat]?.widthCm != null ? [seat] : []));
  const found: number[][] = [];
  for (let bits = 1; bits < 2 ** wide.length; bits++) {
    const narrowed = wide.filter((_, i) => (bits & (1 << i)) !== 0);
    if (widthsFit(row, riders, seats, new Set(narrowed)) !== 'no') found.push(narrowed);
  }
  const least = Math.min(...found.map(({ length }) => length));
  return found
    .filter(({ length }) => length === least)
    .map((narrowed) => narrowed.map((seat) => `narrower-seat:${own[seat]?.id}`));
};

/** Numbers the positions that a set asks for: they are alike. */
const named = (changes: Set_): string[] => {
  let more = 0;
  return changes.map((change) => {
    if (change !== 'another-position') return change;
    more++;
    return more === 1 ? change : `${change}:${more}`;
  });
};

/**
 * The smallest sets of changes of which each makes a plan possible where none is; in codes (changes.ts). All sets have the
 * same size, so none holds another. Empty where no change of the table helps; `positions` where none is known.
 */
export const smallestChanges = (family: Case, locks: Locks): string[][] => {
  const known = family.vehicle?.positions ?? [];
  if (known.length === 0) return [['positions']];
  const positions = [...known, ...family.children.map((_, i) => idealPosition(`another ${i}`))];
  const rows: readonly Row[] = [...rowsOf(known), ...family.children.map((_, i) => [known.length + i])];
  const added = newSeats(family);
  const allSeats = [...family.seats, ...added.map(({ seat }) => seat)];
  const ridings = [
    ...ridingsOf(family, family.children.length <= MOST_EXCHANGING).map((each) => ({
      riding: each,
      changes: [] as Set_,
    })),
    ...added.flatMap(({ riding: each, seat }) => (each ? [{ riding: each, changes: [seat.id] as Set_ }] : [])),
  ];
  const options = positions.map((position, index) =>
    ridings.flatMap(({ riding: each, changes }) => {
      const lock = locks[family.children[each.child]?.id ?? ''];
      if (lock !== undefined && lock !== position.id) return [];
      const before = index < known.length ? changes : [...changes, 'another-position'];
      const found = optionAt(each, position, index, before);
      return found ? [found] : [];
    }),
  );
  const all = 2 ** family.children.length - 1;
  const memo = new Map<string, Smallest>();
  const visit = (row: number, children: number, seats: number): Smallest => {
    if (children === all) return NOTHING;
    const places = rows[row];
    if (places === undefined) return NONE;
    const key = `${row} ${children} ${seats}`;
    const found = memo.get(key) ?? fillRow(row, places, children, seats);
    memo.set(key, found);
    return found;
  };
  const fillRow = (row: number, places: Row, children: number, seats: number): Smallest => {
    let size = Number.POSITIVE_INFINITY;
    let sets = new Map<string, Set_>();
    const here = places.map((place) => positions[place] as Position);
    const take = (at: number, sit: number, used: number, chosen: readonly ChangedOption[], spent: number): void => {
      if (spent > size) return;
      const place = places[at];
      if (place !== undefined) {
        take(at + 1, sit, used, chosen, spent);
        for (const option of options[place] ?? []) {
          const seat = option.seat === null ? 0 : 1 << option.seat;
          if ((sit & (1 << option.child)) !== 0 || (used & seat) !== 0) continue;
          const cost = spent + option.changes.length;
          take(at + 1, sit | (1 << option.child), used | seat, [...chosen, option], cost);
        }
        return;
      }
      const rest = visit(row + 1, sit, used);
      if (spent + rest.size > size || (spent + rest.size === size && sets.size >= MOST_SETS)) return;
      const own = chosen.flatMap(({ changes }) => changes);
      for (const narrowed of narrowings(family, allSeats, here, chosen)) {
        const total = spent + narrowed.length + rest.size;
        if (total > size || total === Number.POSITIVE_INFINITY) continue;
        if (total < size) {
          size = total;
          sets = new Map();
        }
        for (const more of rest.sets.values()) {
          if (sets.size >= MOST_SETS) break;
          const set = sorted([...own, ...narrowed, ...more]);
          if (sets.size < MOST_SETS) sets.set(set.join('\n'), set);
        }
      }
    };
    take(0, children, seats, [], 0);
    return { size, sets };
  };
  const { sets } = visit(0, 0, 0);
  const bySteps = (a: Set_, b: Set_): number => {
    const at = a.findIndex((change, i) => change !== b[i]);
    return at < 0 ? 0 : compare(a[at] ?? '', b[at] ?? '');
  };
  return [...sets.values()].map(named).sort(bySteps);
};
