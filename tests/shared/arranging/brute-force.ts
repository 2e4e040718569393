import type { ArrangedPlace } from '#shared/arrange.ts';
import type { AdvisedMode, Case, Child, Limits, Position, Seat } from '#shared/case.ts';

/**
 * Every plan by trying all, written from the design's tables with literal figures and nothing of the rules core: exact
 * children of known age and size, label limits that are numbers, none or unknown.
 */
export const MODES = ['rear-facing', 'forward-facing', 'booster', 'seat-belt'] as const;
const KINDS: Record<string, readonly string[]> = {
  'rear-facing-only': ['rear-facing'],
  convertible: ['rear-facing', 'forward-facing'],
  'forward-facing-harness': ['forward-facing'],
  combination: ['forward-facing', 'booster'],
  booster: ['booster'],
};
/** 5, 26.5 and 40 lb; 50 lb and 50 in; 90 lb and 63 in. */
const USUAL_MIN = { 'rear-facing': 2.26796185, 'forward-facing': 12.020197805, booster: 18.1436948 };
const HIGHEST = {
  'rear-facing': [22.6796185, 127],
  'forward-facing': [40.8233133, 160.02],
  booster: [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY],
} as const;
const E = 1e-6;

export type Exact = Child & { ageMonths: number; weightKg: number; heightCm: number };
type Mode = 'rear-facing' | 'forward-facing' | 'booster';

const over = (value: number, limit: unknown) => typeof limit === 'number' && value > limit + E;
const under = (value: number, limit: unknown) => typeof limit === 'number' && value < limit - E;

const canFit = (child: Exact, seat: Seat | null, mode: Mode): boolean => {
  if (seat === null) return false;
  const given: Limits | null = seat.modes?.[mode] ?? null;
  if (given === null && !KINDS[seat.kind ?? '']?.includes(mode)) return false;
  const { maxWeightKg, maxHeightCm, minWeightKg, minHeightCm, minAgeMonths }: Limits = given ?? {};
  const [kg, cm] = HIGHEST[mode];
  if (over(child.weightKg, maxWeightKg) || over(child.heightCm, maxHeightCm)) return false;
  if (over(child.weightKg, kg) || over(child.heightCm, cm)) return false;
  if (under(child.weightKg, minWeightKg === undefined ? USUAL_MIN[mode] : minWeightKg)) return false;
  return !under(child.heightCm, minHeightCm) && !under(child.ageMonths, minAgeMonths);
};

const beltReady = ({ ageMonths, heightCm }: Exact) => ageMonths >= 156 || (ageMonths >= 96 && !under(heightCm, 144.78));

const boosterReady = ({ ageMonths, weightKg }: Exact) => ageMonths >= 48 && !under(weightKg, 18.1436948);

/** Fits, and no finding of "before the next trip" or "at the visit" is against the mode. */
export const mayRide = (child: Exact, seat: Seat | null, mode: AdvisedMode): boolean => {
  if (mode === 'seat-belt') return seat === null && beltReady(child);
  if (!canFit(child, seat, mode)) return false;
  if (mode === 'forward-facing') {
    const min = seat?.modes?.[mode]?.minWeightKg;
    return child.ageMonths >= 24 && !(min == null && under(child.weightKg, 12.020197805));
  }
  return mode !== 'booster' || boosterReady(child);
};

/** The most protective of what may be advised; an unknown fit counts as fitting. */
export const advised = (child: Exact, seat: Seat | null): number => {
  if (beltReady(child)) return 3;
  if (canFit(child, seat, 'rear-facing') || child.ageMonths < 24) return 0;
  if (canFit(child, seat, 'forward-facing')) return 1;
  const harness = seat?.modes?.['forward-facing'];
  const offered = harness != null || (seat !== null && KINDS[seat.kind ?? '']?.includes('forward-facing') === true);
  const outgrown =
    offered && (over(child.weightKg, harness?.maxWeightKg) || over(child.heightCm, harness?.maxHeightCm));
  const small = !over(child.weightKg, 18.1436948) && !over(child.heightCm, 101.6);
  if (child.ageMonths < 36 && small && !outgrown) return 0;
  if (!boosterReady(child)) return 1;
  const typical = !over(child.weightKg, 29.48350405) && !over(child.heightCm, 124.46);
  return child.ageMonths < 60 && typical ? 1 : 2;
};

export const placeAllowed = (mode: AdvisedMode, { belt, tetherAnchor, frontAirBag, facing }: Position): boolean =>
  facing !== 'side' &&
  facing !== 'rear' &&
  !(mode === 'rear-facing' && frontAirBag === 'active') &&
  !(mode === 'forward-facing' && tetherAnchor === false) &&
  !((mode === 'booster' || mode === 'seat-belt') && belt === 'lap-only');

export type Chosen = Pick<ArrangedPlace, 'childId' | 'seatId' | 'positionId' | 'mode'>;

export interface Tried {
  readonly places: readonly Chosen[];
  /** front, mode, care, exposure, changes: each before the next. */
  readonly cost: readonly number[];
}

export const allFit = (family: Case, places: readonly Chosen[]): boolean => {
  const positions = family.vehicle?.positions ?? [];
  return positions.every(({ row }) => {
    if (row == null) return true;
    const here = positions.filter((one) => one.row === row);
    const riders = places.filter(({ positionId }) => here.some(({ id }) => id === positionId));
    const belted = riders.filter(({ seatId }) => seatId === null).map(({ positionId }) => positionId);
    const usable = here.filter(({ id }) => !belted.includes(id)).map(({ widthCm }) => widthCm);
    if (usable.some((width) => width == null)) return true;
    const needed = riders.map(({ seatId }) => family.seats.find(({ id }) => id === seatId)?.widthCm ?? 0);
    const add = (list: readonly unknown[]) => list.reduce<number>((all, each) => all + Number(each), 0);
    return add(needed) <= add(usable) + E;
  });
};

const adultBeside = (family: Case, places: readonly Chosen[], positionId: string): boolean => {
  const positions = family.vehicle?.positions ?? [];
  const own = positions.find(({ id }) => id === positionId);
  const row = positions.filter((one) => one.row === own?.row);
  const sides = ['left', 'center', 'right'].filter((side) => row.some((one) => one.side === side));
  return row.some(
    (other) =>
      !places.some((one) => one.positionId === other.id) &&
      other.facing !== 'side' &&
      other.facing !== 'rear' &&
      Math.abs(sides.indexOf(other.side ?? '') - sides.indexOf(own?.side ?? '')) === 1,
  );
};

const tryAll = (family: Case, exchange: boolean): readonly Tried[] => {
  const positions = family.vehicle?.positions ?? [];
  const children = family.children as Exact[];
  const useOf = (id: string) => family.uses.find(({ childId }) => childId === id);
  const seatsOf = ({ id }: Exact): (Seat | null)[] => {
    const own = useOf(id)?.seatId;
    const free = family.seats.filter((seat) => !family.uses.some(({ seatId }) => seatId === seat.id));
    return [null, ...(exchange ? family.seats : own ? family.seats.filter((seat) => seat.id === own) : free)];
  };
  const best = children.map((child) =>
    Math.min(
      ...seatsOf(child).flatMap((seat) =>
        MODES.some((mode) => mayRide(child, seat, mode)) ? [advised(child, seat)] : [],
      ),
    ),
  );
  const found: Tried[] = [];
  const place = (at: number, places: readonly Chosen[]): void => {
    const child = children[at];
    if (child === undefined) {
      if (allFit(family, places)) found.push({ places, cost: costOf(places) });
      return;
    }
    for (const seat of seatsOf(child))
      for (const mode of MODES)
        for (const position of positions) {
          if (places.some((one) => one.positionId === position.id || (seat && one.seatId === seat.id))) continue;
          if (!mayRide(child, seat, mode) || !placeAllowed(mode, position)) continue;
          place(at + 1, [...places, { childId: child.id, seatId: seat?.id ?? null, positionId: position.id, mode }]);
        }
  };
  const costOf = (places: readonly Chosen[]): number[] => {
    const costs = [0, 0, 0, 0, 0];
    for (const [i, one] of places.entries()) {
      const child = children[i] as Exact;
      const position = positions.find(({ id }) => id === one.positionId);
      const use = useOf(child.id);
      const preterm = child.bornBeforeWeek37 === true && child.ageMonths < 12;
      const add = [
        position?.row === 1 && child.ageMonths < 156,
        Math.max(0, MODES.indexOf(one.mode) - (best[i] ?? 0)),
        (child.medicalNeeds === true || preterm) && !adultBeside(family, places, one.positionId),
        position?.row === 1 ? 2 : position?.side === 'center' ? 0 : 1,
        Number(use?.seatId != null && use.seatId !== one.seatId) +
          Number(use?.positionId != null && use.positionId !== one.positionId) +
          Number(use?.mode != null && use.mode !== one.mode),
      ];
      for (const [k, value] of add.entries()) costs[k] = (costs[k] ?? 0) + Number(value);
    }
    return costs;
  };
  place(0, []);
  const front = Math.min(...found.map(({ cost }) => cost[0] ?? 0));
  return found.filter(({ cost }) => cost[0] === front);
};

/** All plans in no order: with the seats as they are, or, where there is none, with any seat for any child. */
export const bruteForce = (family: Case): readonly Tried[] => {
  const kept = tryAll(family, false);
  return kept.length > 0 ? kept : tryAll(family, true);
};
