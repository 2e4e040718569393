import { createHeap } from './heap.ts';
import type { CostedOption, PlanTable } from './plan-table.ts';
import { inFront, WEIGHT } from './preferences.ts';
import type { ArrangementReason } from './reasons.ts';
import type { Row } from './rows.ts';
import { rowsOf, widthsFit, withoutAdultPlace } from './rows.ts';

/** A whole plan: an option for every child. */
export interface FoundPlan {
  readonly options: readonly CostedOption[];
  readonly reasons: readonly ArrangementReason[];
  readonly cost: number;
}

interface Filling {
  readonly options: readonly CostedOption[];
  readonly reasons: readonly ArrangementReason[];
  readonly cost: number;
  readonly next: State;
}

/** What the rest of the search depends on: the rows before are filled, these children sit, these seats are taken. */
interface State {
  readonly row: number;
  readonly children: number;
  readonly seats: number;
  fillings: readonly Filling[];
  /** The lowest cost of placing the children that are left; Infinity where it cannot be done. */
  best: number;
  /** Ways to place them, by how many under 13 come to sit in front. */
  readonly ways: Map<number, number>;
}

/** Every way to fill one row, whatever the children left outside do; one child a place, one seat a child. */
function* fill(
  table: PlanTable,
  row: Row,
  children: number,
  seats: number,
  chosen: readonly CostedOption[] = [],
  at = 0,
): Generator<{ options: readonly CostedOption[]; children: number; seats: number }> {
  const place = row[at];
  if (place === undefined) {
    yield { options: chosen, children, seats };
    return;
  }
  yield* fill(table, row, children, seats, chosen, at + 1);
  for (const option of table.options[place] ?? []) {
    const child = 1 << option.child;
    const seat = option.seat === null ? 0 : 1 << option.seat;
    if ((children & child) !== 0 || (seats & seat) !== 0) continue;
    yield* fill(table, row, children | child, seats | seat, [...chosen, option], at + 1);
  }
}

/** A row as filled: null where the seats do not fit side by side, else its cost and what is to be known of it. */
const judgeRow = (table: PlanTable, row: Row, options: readonly CostedOption[]) => {
  const positions = row.map((place) => table.positions[place] as PlanTable['positions'][number]);
  const fit = widthsFit(positions, options, table.seats);
  if (fit === 'no') return null;
  const inCare = options.filter(({ child }) => table.inCare.has(child)).map(({ positionId }) => positionId);
  const alone = withoutAdultPlace(positions, new Set(options.map(({ positionId }) => positionId)), inCare);
  const reasons: ArrangementReason[] = [
    ...(fit === 'unknown' ? (['width-unknown'] as const) : []),
    ...(alone > 0 ? (['no-adult-place-beside'] as const) : []),
  ];
  const own = options.reduce((total, { cost }) => total + cost, 0);
  return { reasons, cost: own + alone * WEIGHT.care + (fit === 'unknown' ? WEIGHT.open : 0) };
};

const emptyState = (row: number, children: number, seats: number): State => ({
  row,
  children,
  seats,
  fillings: [],
  best: Number.POSITIVE_INFINITY,
  ways: new Map(),
});

/** All that can still happen from each state, row by row, each state worked out once. */
const explore = (table: PlanTable): State => {
  const rows = rowsOf(table.positions);
  const all = 2 ** table.children - 1;
  const known = new Map<string, State>();
  const visit = (row: number, children: number, seats: number): State => {
    const key = `${row} ${children} ${seats}`;
    const found = known.get(key);
    if (found) return found;
    const state = emptyState(row, children, seats);
    known.set(key, state);
    const places = rows[row];
    if (children === all) {
      state.best = 0;
      state.ways.set(0, 1);
    } else if (places !== undefined) {
      state.fillings = fillingsOf(places, state);
      for (const { cost, next } of state.fillings) {
        state.best = Math.min(state.best, cost + next.best);
        for (const [front, ways] of next.ways) {
          const total = front + inFront(cost);
          state.ways.set(total, (state.ways.get(total) ?? 0) + ways);
        }
      }
    }
    return state;
  };
  const fillingsOf = (places: Row, { row, children, seats }: State): Filling[] => {
    const fillings: Filling[] = [];
    for (const filled of fill(table, places, children, seats)) {
      const judged = judgeRow(table, places, filled.options);
      if (judged === null) continue;
      const next = visit(row + 1, filled.children, filled.seats);
      if (next.best < Number.POSITIVE_INFINITY) fillings.push({ options: filled.options, ...judged, next });
    }
    return fillings;
  };
  return visit(0, 0, 0);
};

interface Path {
  readonly state: State;
  readonly spent: number;
  readonly before: Path | null;
  readonly filling: Filling | null;
}

const planOf = (path: Path): FoundPlan => {
  const options: CostedOption[] = [];
  const reasons: ArrangementReason[] = [];
  for (let at: Path | null = path; at?.filling; at = at.before) {
    options.push(...at.filling.options);
    reasons.push(...at.filling.reasons, ...at.filling.options.flatMap((option) => option.reasons));
  }
  return { options: options.sort((a, b) => a.child - b.child), reasons, cost: path.spent };
};

/**
 * The best plans in order, at most `listed`, and how many there are in all. Exact: the number by counting over all states,
 * the order by always going on with the path whose lowest possible cost is least. Plans that are alike keep the order of
 * the positions and children of the case.
 */
export const search = (table: PlanTable, listed: number): { plans: readonly FoundPlan[]; total: number } => {
  const start = explore(table);
  if (start.best === Number.POSITIVE_INFINITY) return { plans: [], total: 0 };
  const fewestInFront = inFront(start.best);
  const plans: FoundPlan[] = [];
  const open = createHeap<Path>();
  open.add({ state: start, spent: 0, before: null, filling: null }, start.best);
  for (let next = open.take(); next !== null && plans.length < listed; next = open.take()) {
    const { item: path, cost } = next;
    if (inFront(cost) > fewestInFront) break;
    if (path.state.fillings.length === 0) plans.push(planOf(path));
    for (const filling of path.state.fillings) {
      const spent = path.spent + filling.cost;
      open.add({ state: filling.next, spent, before: path, filling }, spent + filling.next.best);
    }
  }
  return { plans, total: start.ways.get(fewestInFront) ?? 0 };
};
