import type { RestraintMode } from './case.ts';
import { MODES_IN_USE, RESTRAINT_MODES, SEAT_KINDS } from './case.ts';
import type { ChildFacts, Limit, LimitFacts } from './facts.ts';
import { NO_LIMITS } from './facts.ts';

export type LimitName = keyof LimitFacts;
export const LIMIT_NAMES = [
  'minWeightKg',
  'maxWeightKg',
  'minHeightCm',
  'maxHeightCm',
  'minAgeMonths',
] as const satisfies readonly LimitName[];

export type LimitKey = `${RestraintMode}.${LimitName}`;
/** What identifies or locates facts rather than being one. */
type NotAFact = 'asOf' | 'childId' | 'ageGivenAs' | 'hasUse' | 'limits' | 'rows' | 'ownRow' | 'lawFacts';
export type PlainKey = Exclude<keyof ChildFacts, NotAFact>;
/** Names one fact about a child, its use, seat, position or vehicle. */
export type FactKey = PlainKey | LimitKey;

/** Steps of the judgement of one child, as bits. A fact feeds steps; a rule reads facts and steps. */
export const STEP = { size: 1, fit: 2, law: 4, advice: 8, anchors: 16 } as const;
const { size, fit, law, advice, anchors } = STEP;

/** A step and all that follow from it: size feeds all others, fit the law and the advice, the law the advice. */
export const withLaterSteps = (steps: number): number => {
  if (steps & size) return size | fit | law | advice | anchors;
  if (steps & fit) return steps | law | advice;
  return steps & law ? steps | advice : steps;
};

export type Owner = 'case' | 'child' | 'use' | 'position' | 'seat' | 'vehicle';

export interface FactSpec {
  readonly owner: Owner;
  /** Path below its owner. */
  readonly name: string;
  /** A choice lists its values; a number is completed at critical values (critical-values.ts). */
  readonly values: readonly (string | boolean | number)[] | 'number' | 'id';
  /** The steps that read it, as STEP bits. */
  readonly feeds: number;
}

const flag = [true, false];
const spec = (owner: Owner, name: string, values: FactSpec['values'], feeds = 0): FactSpec => ({
  owner,
  name,
  values,
  feeds,
});

const PLAIN: Readonly<Record<PlainKey, FactSpec>> = {
  jurisdiction: spec('case', 'jurisdiction', 'id', law),
  age: spec('child', 'ageMonths', 'number', size),
  sex: spec('child', 'sex', ['female', 'male'], size),
  weight: spec('child', 'weightKg', 'number', size),
  height: spec('child', 'heightCm', 'number', size),
  sizeConfirmed: spec('child', 'sizeConfirmed', flag, size),
  ridesUpright: spec('child', 'ridesUpright', flag, advice),
  bornBeforeWeek37: spec('child', 'bornBeforeWeek37', flag),
  medicalNeeds: spec('child', 'medicalNeeds', flag),

  seatId: spec('use', 'seatId', 'id'),
  positionId: spec('use', 'positionId', 'id'),
  mode: spec('use', 'mode', MODES_IN_USE, fit | law | advice | anchors),
  attachment: spec('use', 'attachment', ['lower-anchors', 'seat-belt', 'both', 'none']),
  beltPath: spec('use', 'beltPath', ['rear-facing', 'forward-facing']),
  beltLocked: spec('use', 'beltLocked', flag),
  twisted: spec('use', 'twisted', flag),
  tether: spec('use', 'tether', ['attached', 'not-attached']),
  movement: spec('use', 'movementCm', 'number'),
  recline: spec('use', 'recline', ['in-range', 'too-upright', 'too-reclined']),
  headClearance: spec('use', 'headClearanceCm', 'number', fit),
  straps: spec('use', 'harness.straps', ['below', 'at', 'above']),
  pinchable: spec('use', 'harness.pinchable', flag),
  chestClip: spec('use', 'harness.chestClip', ['armpit', 'low', 'high']),
  bulkyClothing: spec('use', 'harness.bulkyClothing', flag),
  addOnProduct: spec('use', 'harness.addOnProduct', flag),
  infantInsert: spec('use', 'harness.infantInsert', flag),
  lapBelt: spec('use', 'beltFit.lap', ['thighs', 'belly'], advice),
  shoulderBelt: spec('use', 'beltFit.shoulder', ['chest', 'neck', 'off-shoulder', 'behind-back', 'under-arm'], advice),

  row: spec('position', 'row', [1, 2], law),
  belt: spec('position', 'belt', ['lap-shoulder', 'lap-only', 'inflatable'], anchors),
  lowerAnchors: spec('position', 'lowerAnchors', flag, anchors),
  tetherAnchor: spec('position', 'tetherAnchor', flag, anchors),
  frontAirBag: spec('position', 'frontAirBag', ['active', 'off', 'none'], law),
  facing: spec('position', 'facing', ['forward', 'side', 'rear']),

  kind: spec(
    'seat',
    'kind',
    SEAT_KINDS.filter((kind) => kind !== 'unknown'),
    fit | anchors,
  ),
  mass: spec('seat', 'massKg', 'number', anchors),
  anchorLimitRearFacing: spec('seat', 'lowerAnchorLimitKg.rear-facing', 'number', anchors),
  anchorLimitForwardFacing: spec('seat', 'lowerAnchorLimitKg.forward-facing', 'number', anchors),
  bothAllowed: spec('seat', 'bothAllowed', flag),
  borrowedAllowed: spec('seat', 'borrowedAllowed', flag, anchors),
  vehicleAnchorLimit: spec('vehicle', 'lowerAnchorLimitKg', 'number', anchors),
};

export const limitKey = (mode: RestraintMode, name: LimitName): LimitKey => `${mode}.${name}`;

const LIMIT_SPECS = Object.fromEntries(
  RESTRAINT_MODES.flatMap((mode) =>
    LIMIT_NAMES.map((name) => [limitKey(mode, name), spec('seat', `modes.${mode}.${name}`, 'number', fit)]),
  ),
) as unknown as Readonly<Record<LimitKey, FactSpec>>;

/** Every fact a judgement of one child reads: where it stands in a case, its values and the steps it feeds. */
export const FACT_SPECS: Readonly<Record<FactKey, FactSpec>> = { ...PLAIN, ...LIMIT_SPECS };
export const FACT_KEYS = Object.keys(FACT_SPECS) as readonly FactKey[];

const LIMIT_PARTS = new Map<string, { mode: RestraintMode; name: LimitName }>(
  RESTRAINT_MODES.flatMap((mode) => LIMIT_NAMES.map((name) => [limitKey(mode, name), { mode, name }])),
);

/** The mode and limit that a key names; undefined for any other fact. */
export const limitParts = (key: FactKey): { mode: RestraintMode; name: LimitName } | undefined => LIMIT_PARTS.get(key);

/** The value of a fact as the judgement reads it; null or undefined while unknown. */
export const readFact = (facts: ChildFacts, key: FactKey): unknown => {
  const parts = LIMIT_PARTS.get(key);
  return parts ? facts.limits[parts.mode]?.[parts.name] : facts[key as PlainKey];
};

/** Sets a fact in place. A limit of a mode the label was not read for creates that mode with all else unknown. */
export const writeFact = (facts: ChildFacts, key: FactKey, value: unknown): void => {
  const parts = LIMIT_PARTS.get(key);
  if (key === 'row') facts.rows = facts.rows.with(facts.ownRow, value as number | null);
  if (!parts) {
    (facts as unknown as Record<string, unknown>)[key] = value;
    return;
  }
  facts.limits[parts.mode] = { ...(facts.limits[parts.mode] ?? NO_LIMITS), [parts.name]: value as Limit };
};

/** The path of a fact in the case; null where the child has no use, seat or position to carry it. */
export const factPath = (facts: ChildFacts, key: FactKey): string | null => {
  const { owner, name } = FACT_SPECS[key];
  switch (owner) {
    case 'case':
      return name;
    case 'child':
      return `children.${facts.childId}.${key === 'age' ? facts.ageGivenAs : name}`;
    case 'use':
      return `uses.${facts.childId}.${name}`;
    case 'vehicle':
      return `vehicle.${name}`;
    case 'seat':
      return facts.seatId === null ? null : `seats.${facts.seatId}.${name}`;
    case 'position':
      return facts.positionId === null ? null : `vehicle.positions.${facts.positionId}.${name}`;
  }
};
