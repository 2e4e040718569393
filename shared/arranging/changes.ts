import type { AdvisedMode, Case, Position, Seat, SeatKind } from '../case.ts';
import type { PlaceCode } from './options.ts';

/**
 * A thing to change, as a code and the id of what it is about: `narrower-seat:s1`, `tether-anchor:p2C` (many vehicles can
 * take one, S-073), `air-bag-off:p1R` (only where the manuals allow, S-091, S-097), `lap-shoulder-belt:p2C`, another seat of
 * the advised mode for a child (`rear-facing-seat:c1`, `harness-seat:c1`, `booster:c1`), and `another-position`
 * (`another-position:2` for a second one).
 */
export const CHANGES = [
  'narrower-seat',
  'tether-anchor',
  'air-bag-off',
  'lap-shoulder-belt',
  'rear-facing-seat',
  'harness-seat',
  'booster',
  'another-position',
] as const;
export type Change = (typeof CHANGES)[number];

/** The change at a position that lifts a finding against it; none for a seat that faces sideways. */
export const LIFTED_BY: Readonly<Partial<Record<PlaceCode | 'law-not-met', Change>>> = {
  'rear-facing-at-air-bag': 'air-bag-off',
  'no-tether-anchor': 'tether-anchor',
  'booster-lap-only': 'lap-shoulder-belt',
};

export const NEW_SEAT: Readonly<Partial<Record<AdvisedMode, Change>>> = {
  'rear-facing': 'rear-facing-seat',
  'forward-facing': 'harness-seat',
  booster: 'booster',
};

/** A position with all that any mode asks for, in a row of its own. */
export const idealPosition = (id: string): Position => ({
  id,
  row: 10,
  side: 'center',
  belt: 'lap-shoulder',
  lowerAnchors: true,
  tetherAnchor: true,
  frontAirBag: 'none',
  facing: 'forward',
});

const NO_LIMITS = {
  minWeightKg: null,
  maxWeightKg: null,
  minHeightCm: null,
  maxHeightCm: null,
  minAgeMonths: null,
};

const KIND: Readonly<Record<AdvisedMode, SeatKind>> = {
  'rear-facing': 'rear-facing-only',
  'forward-facing': 'forward-facing-harness',
  booster: 'booster',
  'seat-belt': 'unknown',
};

/** A seat that states no limit of its own for this mode, as wide as the one its child uses; its id ends in the child's. */
export const idealSeat = (family: Case, id: string, mode: AdvisedMode): Seat => {
  const own = family.uses.find(({ childId }) => childId === id.slice(id.indexOf(':') + 1))?.seatId;
  const widthCm = family.seats.find((seat) => seat.id === own)?.widthCm;
  return { id, kind: KIND[mode], widthCm, modes: mode === 'seat-belt' ? {} : { [mode]: NO_LIMITS } };
};

/** A position after some changes to it. */
export const changedPosition = (position: Position, changes: readonly Change[]): Position => ({
  ...position,
  ...(changes.includes('tether-anchor') && { tetherAnchor: true }),
  ...(changes.includes('air-bag-off') && { frontAirBag: 'off' as const }),
  ...(changes.includes('lap-shoulder-belt') && { belt: 'lap-shoulder' as const }),
});

const modeOf = (change: string): AdvisedMode | undefined =>
  (Object.entries(NEW_SEAT) as [AdvisedMode, Change][]).find(([, code]) => code === change)?.[0];

/** The case as it would be after one change, as `blockedBy` names it. */
export const applyChange = (family: Case, named: string): Case => {
  const colon = named.indexOf(':');
  const change = (colon < 0 ? named : named.slice(0, colon)) as Change;
  const id = colon < 0 ? '' : named.slice(colon + 1);
  const { vehicle } = family;
  const positions = vehicle?.positions ?? [];
  const withPositions = (changed: Position[]): Case => ({ ...family, vehicle: { ...vehicle, positions: changed } });
  if (change === 'another-position') return withPositions([...positions, idealPosition(named)]);
  if (change === 'narrower-seat')
    return { ...family, seats: family.seats.map((seat) => (seat.id === id ? { ...seat, widthCm: null } : seat)) };
  const mode = modeOf(change);
  if (mode === undefined)
    return withPositions(positions.map((one) => (one.id === id ? changedPosition(one, [change]) : one)));
  return { ...family, seats: [...family.seats, idealSeat(family, named, mode)] };
};
