import type { Case, Position, Seat } from '../case.ts';
import type { Change } from './changes.ts';
import { CHANGES, changedPosition, idealPosition, idealSeat, LIFTED_BY, NEW_SEAT } from './changes.ts';
import { fewestNeeded } from './fewest-needed.ts';
import type { Option, Riding } from './options.ts';
import { atPosition, modeWithoutSeat, riding } from './options.ts';
import type { Locks } from './plan-table.ts';
import { mayExchange, ridingsOf } from './plan-table.ts';
import type { Row } from './rows.ts';
import { rowsOf, widthsFit } from './rows.ts';

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

/** Options of one place without those for which another one does the same with no change more. */
const undominated = (options: readonly ChangedOption[]): readonly ChangedOption[] => {
  const belted = ({ mode }: ChangedOption) => mode === 'seat-belt';
  return options.filter(
    (option, i) =>
      !options.some(
        (other, j) =>
          i !== j &&
          other.child === option.child &&
          other.seat === option.seat &&
          belted(other) === belted(option) &&
          other.changes.every((change) => option.changes.includes(change)) &&
          (other.changes.length < option.changes.length || j < i),
      ),
  );
};

/**
 * The smallest sets of changes of which each makes a plan possible where none is; in codes (changes.ts). All sets have the
 * same size, so none holds another, and no smaller one would do. Any child may have any seat among so few that plans
 * exchange them (`mayExchange`), else each its own. Empty where no change of the table helps; `positions` where none is
 * known.
 */
export const smallestChanges = (family: Case, locks: Locks): string[][] => {
  const known = family.vehicle?.positions ?? [];
  if (known.length === 0) return [['positions']];
  const positions = [...known, ...family.children.map((_, i) => idealPosition(`another ${i}`))];
  const rows: readonly Row[] = [...rowsOf(known), ...family.children.map((_, i) => [known.length + i])];
  const placesFrom = rows.map((_, at) =>
    rows.slice(at).reduce((sum, row) => sum + row.filter((place) => place < known.length).length, 0),
  );
  const added = newSeats(family);
  const allSeats = [...family.seats, ...added.map(({ seat }) => seat)];
  const ridings = [
    ...ridingsOf(family, mayExchange(family)).map((each) => ({ riding: each, changes: [] as Set_ })),
    ...added.flatMap(({ riding: each, seat }) => (each ? [{ riding: each, changes: [seat.id] as Set_ }] : [])),
  ];
  const options = positions.map((position, index) =>
    undominated(
      ridings.flatMap(({ riding: each, changes }) => {
        const lock = locks[family.children[each.child]?.id ?? ''];
        if (lock !== undefined && lock !== position.id) return [];
        const before = index < known.length ? changes : [...changes, 'another-position'];
        const found = optionAt(each, position, index, before);
        return found ? [found] : [];
      }),
    ),
  );
  const isOwn = (seat: number): boolean => seat < family.seats.length;
  const fewest = fewestNeeded(
    options.flat().map(({ child, seat, changes }) => ({
      child,
      cost: changes.length,
      seat: seat !== null && isOwn(seat) ? seat : null,
      newSeat: seat !== null && !isOwn(seat),
    })),
  );
  /** Seats that more than one child could have; who takes any other is in nobody's way. */
  const shared = family.seats.reduce((bits, _, seat) => {
    const children = new Set(options.flat().flatMap((option) => (option.seat === seat ? [option.child] : [])));
    return children.size > 1 ? bits | (1 << seat) : bits;
  }, 0);
  const all = 2 ** family.children.length - 1;
  const memo = new Map<string, Smallest>();
  /** Where nothing was found within a budget, so that a smaller one is not tried again. */
  const beyond = new Map<string, number>();

  /** The smallest sets from a row on, of at most `budget` changes; none where there are none. */
  const visit = (row: number, children: number, seats: number, budget: number): Smallest => {
    if (children === all) return NOTHING;
    const places = rows[row];
    if (places === undefined || fewest(all & ~children, seats, placesFrom[row] ?? 0) > budget) return NONE;
    const key = `${row} ${children} ${seats}`;
    const found = memo.get(key);
    if (found) return found.size <= budget ? found : NONE;
    if ((beyond.get(key) ?? -1) >= budget) return NONE;
    const least = Math.max((beyond.get(key) ?? -1) + 1, fewest(all & ~children, seats, placesFrom[row] ?? 0));
    const made = fillRow(row, places, children, seats, { least, budget });
    if (made.size <= budget) memo.set(key, made);
    else beyond.set(key, budget);
    return made;
  };

  /** Fewer than `least` are known not to do. */
  const fillRow = (
    row: number,
    places: Row,
    children: number,
    seats: number,
    { least, budget }: { readonly least: number; readonly budget: number },
  ): Smallest => {
    let size = budget;
    let sets = new Map<string, Set_>();
    const here = places.map((place) => positions[place] as Position);
    const placesBehind = placesFrom[row + 1] ?? 0;
    // Further positions are alike: the first child that is left takes the first of them.
    const further = (places[0] ?? 0) >= known.length;
    const next = further ? 31 - Math.clz32(~children & (children + 1)) : null;
    const take = (at: number, sit: number, used: number, chosen: readonly ChangedOption[], spent: number): void => {
      if (size === least && sets.size >= MOST_SETS) return;
      const room = places.length - at + placesBehind;
      if (spent + fewest(all & ~sit, used, further ? 0 : room) > size) return;
      const place = places[at];
      if (place !== undefined) {
        if (!further) take(at + 1, sit, used, chosen, spent);
        for (const option of options[place] ?? []) {
          const seat = option.seat === null ? 0 : (1 << option.seat) & shared;
          if ((sit & (1 << option.child)) !== 0 || (used & seat) !== 0) continue;
          if (next !== null && option.child !== next) continue;
          const cost = spent + option.changes.length;
          take(at + 1, sit | (1 << option.child), used | seat, [...chosen, option], cost);
        }
        return;
      }
      const rest = visit(row + 1, sit, used, size - spent);
      if (spent + rest.size > size || (spent + rest.size === size && sets.size >= MOST_SETS)) return;
      const own = chosen.flatMap(({ changes }) => changes);
      for (const narrowed of narrowings(family, allSeats, here, chosen)) {
        const total = spent + narrowed.length + rest.size;
        if (total > size) continue;
        if (total < size) {
          size = total;
          sets = new Map();
        }
        for (const more of rest.sets.values()) {
          if (sets.size >= MOST_SETS) break;
          const set = sorted([...own, ...narrowed, ...more]);
          sets.set(set.join('\n'), set);
        }
      }
    };
    take(0, children, seats, [], 0);
    return sets.size > 0 ? { size, sets } : NONE;
  };

  if (family.children.some((_, child) => !options.flat().some((option) => option.child === child))) return [];
  // Budget after budget: the first that suffices is the smallest number of changes. Another seat at another position is
  // as much as a child takes; held to a known one, all that can change there, and a narrower seat.
  const most = (Object.keys(locks).length > 0 ? 4 : 2) * family.children.length;
  let sets: Smallest['sets'] = NONE.sets;
  for (let budget = 1; budget <= most && sets.size === 0; budget++) ({ sets } = visit(0, 0, 0, budget));
  const bySteps = (a: Set_, b: Set_): number => {
    const at = a.findIndex((change, i) => change !== b[i]);
    return at < 0 ? 0 : compare(a[at] ?? '', b[at] ?? '');
  };
  return [...sets.values()].map(named).sort(bySteps);
};
