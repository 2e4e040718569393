import type { Case, Child, Limits, ModeInUse, Position, RestraintMode, Seat, SeatKind, Use, Vehicle } from './case.ts';
import { RESTRAINT_MODES } from './case.ts';
import type { CalendarDate } from './dates.ts';
import { completedMonths, firstDay, lastDay } from './dates.ts';
import type { Sex } from './growth/reference.ts';
import type { Interval } from './interval.ts';
import { toInterval } from './interval.ts';
import type { LawFact } from './laws/facts.ts';

/** A limit on a label: known, null where the label states none, undefined while unknown. */
export type Limit = Interval | null | undefined;

export interface LimitFacts {
  minWeightKg: Limit;
  maxWeightKg: Limit;
  minHeightCm: Limit;
  maxHeightCm: Limit;
  minAgeMonths: Limit;
}

export type Attachment = NonNullable<Use['attachment']>;

/**
 * All facts about one child, with the seat, position and vehicle of its use, flat, null where unknown. Mutable so that
 * a completion of one fact can be tried in place and taken back (see completions.ts); nothing else writes to it.
 */
export interface ChildFacts {
  readonly asOf: CalendarDate;
  readonly childId: string;
  /** What the age was given as: names the path of the fact. */
  readonly ageGivenAs: 'ageMonths' | 'birthDate';
  readonly hasUse: boolean;
  seatId: string | null;
  positionId: string | null;
  jurisdiction: string | null;

  age: Interval | null;
  sex: Sex | null;
  weight: Interval | null;
  height: Interval | null;
  sizeConfirmed: boolean | null;
  ridesUpright: boolean | null;
  bornBeforeWeek37: boolean | null;
  medicalNeeds: boolean | null;
  lawFacts: readonly LawFact[];

  mode: ModeInUse | null;
  attachment: Attachment | null;
  beltPath: Use['beltPath'] | null;
  beltLocked: boolean | null;
  twisted: boolean | null;
  tether: Use['tether'] | null;
  movement: Interval | null;
  recline: Use['recline'] | null;
  headClearance: Interval | null;
  straps: NonNullable<Use['harness']>['straps'] | null;
  pinchable: boolean | null;
  chestClip: NonNullable<Use['harness']>['chestClip'] | null;
  bulkyClothing: boolean | null;
  addOnProduct: boolean | null;
  infantInsert: boolean | null;
  lapBelt: NonNullable<Use['beltFit']>['lap'] | null;
  shoulderBelt: NonNullable<Use['beltFit']>['shoulder'] | null;

  row: number | null;
  belt: Position['belt'] | null;
  lowerAnchors: boolean | null;
  tetherAnchor: boolean | null;
  frontAirBag: Position['frontAirBag'] | null;
  facing: Position['facing'] | null;
  /** The rows of all positions of the vehicle, the child's own among them at `ownRow` (−1: no position). */
  rows: readonly (number | null)[];
  readonly ownRow: number;

  kind: Exclude<SeatKind, 'unknown'> | null;
  limits: Record<RestraintMode, LimitFacts | null>;
  mass: Interval | null;
  anchorLimitRearFacing: Interval | null;
  anchorLimitForwardFacing: Interval | null;
  bothAllowed: boolean | null;
  borrowedAllowed: boolean | null;
  vehicleAnchorLimit: Interval | null;
}

/** Completed months at `asOf`; a birth date without day or month is a range. Null while unknown. */
export const ageOf = ({ ageMonths, birthDate }: Child, asOf: CalendarDate): Interval | null => {
  const given = toInterval(ageMonths);
  if (given !== null || birthDate == null) return given;
  const latest = lastDay(birthDate);
  return {
    min: latest > asOf ? 0 : completedMonths(latest, asOf),
    max: completedMonths(firstDay(birthDate), asOf),
  };
};

const limit = (value: number | Interval | null | undefined): Limit =>
  typeof value === 'number' ? { min: value, max: value } : value;

const readLimits = (limits: Limits): LimitFacts => ({
  minWeightKg: limit(limits.minWeightKg),
  maxWeightKg: limit(limits.maxWeightKg),
  minHeightCm: limit(limits.minHeightCm),
  maxHeightCm: limit(limits.maxHeightCm),
  minAgeMonths: limit(limits.minAgeMonths),
});

export const NO_LIMITS: LimitFacts = readLimits({});

const seatFacts = (seat: Seat | null) => {
  const limits: Record<RestraintMode, LimitFacts | null> = {
    'rear-facing': null,
    'forward-facing': null,
    booster: null,
  };
  for (const mode of RESTRAINT_MODES) {
    const given = seat?.modes?.[mode];
    if (given) limits[mode] = readLimits(given);
  }
  const kind = seat?.kind;
  return {
    kind: kind == null || kind === 'unknown' ? null : kind,
    limits,
    mass: toInterval(seat?.massKg),
    anchorLimitRearFacing: toInterval(seat?.lowerAnchorLimitKg?.['rear-facing']),
    anchorLimitForwardFacing: toInterval(seat?.lowerAnchorLimitKg?.['forward-facing']),
    bothAllowed: seat?.bothAllowed ?? null,
    borrowedAllowed: seat?.borrowedAllowed ?? null,
  };
};

/** The facts of one position; all unknown where it is not known which. */
export const positionFacts = (position: Position | null) => ({
  row: position?.row ?? null,
  belt: position?.belt ?? null,
  lowerAnchors: position?.lowerAnchors ?? null,
  tetherAnchor: position?.tetherAnchor ?? null,
  frontAirBag: position?.frontAirBag ?? null,
  facing: position?.facing ?? null,
});

const useFacts = (use: Use | null) => ({
  mode: use?.mode ?? null,
  attachment: use?.attachment ?? null,
  beltPath: use?.beltPath ?? null,
  beltLocked: use?.beltLocked ?? null,
  twisted: use?.twisted ?? null,
  tether: use?.tether ?? null,
  movement: toInterval(use?.movementCm),
  recline: use?.recline ?? null,
  headClearance: toInterval(use?.headClearanceCm),
  straps: use?.harness?.straps ?? null,
  pinchable: use?.harness?.pinchable ?? null,
  chestClip: use?.harness?.chestClip ?? null,
  bulkyClothing: use?.harness?.bulkyClothing ?? null,
  addOnProduct: use?.harness?.addOnProduct ?? null,
  infantInsert: use?.harness?.infantInsert ?? null,
  lapBelt: use?.beltFit?.lap ?? null,
  shoulderBelt: use?.beltFit?.shoulder ?? null,
});

const vehicleFacts = (vehicle: Vehicle | null) => ({
  rows: (vehicle?.positions ?? []).map(({ row }) => row ?? null),
  vehicleAnchorLimit: toInterval(vehicle?.lowerAnchorLimitKg),
});

const withId = <T extends { id: string }>(list: readonly T[], id: string | null | undefined): T | null =>
  id == null ? null : (list.find((item) => item.id === id) ?? null);

/** The facts about one child of a case. */
export const childFacts = (family: Case, child: Child): ChildFacts => {
  const use = family.uses.find(({ childId }) => childId === child.id) ?? null;
  const position = withId(family.vehicle?.positions ?? [], use?.positionId);
  const seat = withId(family.seats, use?.seatId);
  return {
    asOf: family.asOf,
    childId: child.id,
    ageGivenAs: child.ageMonths == null && child.birthDate != null ? 'birthDate' : 'ageMonths',
    hasUse: use !== null,
    seatId: seat?.id ?? null,
    positionId: position?.id ?? null,
    jurisdiction: family.jurisdiction ?? null,
    age: ageOf(child, family.asOf),
    sex: child.sex ?? null,
    weight: toInterval(child.weightKg),
    height: toInterval(child.heightCm),
    sizeConfirmed: child.sizeConfirmed ?? null,
    ridesUpright: child.ridesUpright ?? null,
    bornBeforeWeek37: child.bornBeforeWeek37 ?? null,
    medicalNeeds: child.medicalNeeds ?? null,
    lawFacts: child.lawFacts ?? [],
    ...useFacts(use),
    ...positionFacts(position),
    ...vehicleFacts(family.vehicle ?? null),
    ownRow: position === null ? -1 : (family.vehicle?.positions ?? []).indexOf(position),
    ...seatFacts(seat),
  };
};
