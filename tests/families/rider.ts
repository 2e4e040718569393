import type { Child, Limits, ModeInUse, Position, RestraintMode, Seat, SeatKind, Use } from '#shared/case.ts';
import { referenceAt, type Sex } from '#shared/growth/reference.ts';
import { lmsAt } from '#shared/growth/tables.ts';
import { valueAtZ } from '#shared/growth/z-score.ts';
import { MODES_OF_KIND } from '#shared/mode-fit.ts';
import { cmToIn, inToCm, kgToLb, lbToKg } from '#shared/units.ts';
import type { Chance } from './chance.ts';

/** A child, the seat it has and how it rides, every fact known. */
export interface Rider {
  readonly child: Child;
  readonly seat: Seat | null;
  readonly use: Use;
}

export interface Plan {
  /** Completed months of age, from and to. */
  readonly months: readonly [number, number];
  readonly mode: ModeInUse;
  /** Null for a child without a seat. */
  readonly kind: SeatKind | null;
  readonly position: string | null;
  readonly acquired?: Seat['acquired'];
  readonly specialCare?: boolean;
}

/** How often each thing that can be wrong is wrong. */
const FAULTY = 0.12;

const oneDecimal = (value: number): number => Math.round(value * 10) / 10;
const half = (value: number): number => Math.round(value * 2) / 2;

/** A size between the 5th and the 95th percentile of the reference for age and sex, as a scale and a tape give it. */
function sizeOf(chance: Chance, months: number, sex: Sex): { weightKg: number; heightCm: number } {
  const reference = referenceAt(months) ?? 'CDC 2000';
  const build = chance.between(-1.3, 1.3);
  const z = () => build + chance.between(-0.35, 0.35);
  const kg = valueAtZ(lmsAt(reference, 'weight', sex, months), z());
  const cm = valueAtZ(lmsAt(reference, 'height', sex, months), z());
  return { weightKg: lbToKg(oneDecimal(kgToLb(kg))), heightCm: inToCm(half(cmToIn(cm))) };
}

type Printed = readonly [
  minLb: number | null,
  maxLb: number,
  minIn: number | null,
  maxIn: number | null,
  months?: number,
];

const limitsOf = ([minLb, maxLb, minIn, maxIn, months]: Printed): Limits => ({
  minWeightKg: minLb === null ? null : lbToKg(minLb),
  maxWeightKg: lbToKg(maxLb),
  minHeightCm: minIn === null ? null : inToCm(minIn),
  maxHeightCm: maxIn === null ? null : inToCm(maxIn),
  minAgeMonths: months ?? null,
});

/** Labels as seats carry them (common practice; no seat in particular). */
function labelOf(chance: Chance, kind: SeatKind, mode: RestraintMode): Limits {
  switch (mode) {
    case 'rear-facing':
      return kind === 'rear-facing-only'
        ? limitsOf(
            chance.oneOf<Printed>([
              [4, 35, null, 32],
              [4, 30, null, 30],
              [5, 22, 19, 29],
              [4, 35, null, 35],
            ]),
          )
        : limitsOf(
            chance.oneOf<Printed>([
              [5, 40, null, 43],
              [4, 50, null, 49],
              [5, 40, 19, 40],
              [5, 35, null, 36],
            ]),
          );
    case 'forward-facing':
      return limitsOf(
        chance.oneOf<Printed>([
          [26.5, 65, null, 49],
          [22, 65, 28, 52],
          [25, 50, null, 49, 24],
          [30, 65, null, 49],
          [20, 40, null, 43],
          [22, 65, null, null],
        ]),
      );
    default:
      return limitsOf(
        chance.oneOf<Printed>([
          [40, 100, 44, 57],
          [30, 120, 38, 57, 48],
          [40, 120, 44, 57],
          [40, 100, null, 52, 48],
        ]),
      );
  }
}

const HEIGHTS_OF_DAMAGE = [
  'drivable',
  'nearestDoorUndamaged',
  'noInjuries',
  'noAirBags',
  'noVisibleSeatDamage',
] as const;

function crashOf(chance: Chance): Seat['crash'] {
  const happened = chance.happens(FAULTY);
  const minor = chance.happens(0.5);
  const conditions = HEIGHTS_OF_DAMAGE.map((field) => [field, minor || chance.happens(0.6)] as const);
  return happened ? { happened, ...Object.fromEntries(conditions) } : { happened };
}

function seatOf(chance: Chance, id: string, kind: SeatKind, acquired: Seat['acquired']): Seat {
  const offered = kind === 'unknown' ? [] : MODES_OF_KIND[kind];
  const year = chance.whole(2016, 2026);
  const bad = (): boolean => chance.happens(FAULTY);
  const anchors = chance.oneOf([30, 35, 40, 45]);
  return {
    id,
    kind,
    modes: Object.fromEntries(offered.map((mode) => [mode, labelOf(chance, kind, mode)])),
    massKg: lbToKg(chance.whole(9, 28)),
    lowerAnchorLimitKg: { 'rear-facing': lbToKg(anchors), 'forward-facing': lbToKg(anchors + 5) },
    bothAllowed: chance.happens(0.2),
    borrowedAllowed: chance.happens(0.3),
    manufactureDate: `${year}-${String(year === 2026 ? chance.whole(1, 4) : chance.whole(1, 12)).padStart(2, '0')}`,
    ...(chance.happens(0.5)
      ? { usefulLifeYears: chance.oneOf([6, 7, 8, 10]) }
      : { expiryDate: `${year + chance.oneOf([6, 8, 10])}-12` }),
    acquired: acquired ?? chance.oneOf(['new', 'new', 'new', 'known-second-hand'] as const),
    crash: crashOf(chance),
    labelReadable: !chance.happens(0.06),
    partsComplete: !bad(),
    certified: !chance.happens(0.04),
    recall: chance.oneOf(['none', 'none', 'open', 'remedied', 'unchecked', 'unchecked'] as const),
    registered: !chance.happens(0.3),
  };
}

function harnessOf(chance: Chance, mode: ModeInUse): NonNullable<Use['harness']> {
  const bad = (): boolean => chance.happens(FAULTY);
  return {
    straps: chance.oneOf(['below', 'at', 'at', 'above'] as const),
    pinchable: chance.happens(0.3),
    chestClip: chance.oneOf(['armpit', 'armpit', 'low', 'high'] as const),
    bulkyClothing: bad(),
    addOnProduct: bad(),
    ...(mode === 'forward-facing' && { infantInsert: chance.happens(0.05) }),
  };
}

function heldByHarness(chance: Chance, mode: 'rear-facing' | 'forward-facing'): Partial<Use> {
  const bad = (share = FAULTY): boolean => chance.happens(share);
  const attachment = chance.oneOf([
    'lower-anchors',
    'lower-anchors',
    'seat-belt',
    'seat-belt',
    'both',
    ...(bad(0.1) ? ['none' as const] : []),
  ] as const);
  const other = mode === 'rear-facing' ? 'forward-facing' : 'rear-facing';
  return {
    attachment,
    beltPath: bad() ? other : mode,
    ...(['seat-belt', 'both'].includes(attachment) && { beltLocked: !bad(0.25) }),
    twisted: bad(),
    movementCm: bad(0.3) ? 4 : 1,
    ...(mode === 'rear-facing'
      ? {
          recline: chance.oneOf(['in-range', 'in-range', 'too-upright', 'too-reclined'] as const),
          headClearanceCm: bad() ? 1 : 6,
        }
      : { tether: bad(0.4) ? ('not-attached' as const) : ('attached' as const) }),
    harness: harnessOf(chance, mode),
  };
}

function heldByBelt(chance: Chance, mode: ModeInUse): Partial<Use> {
  return {
    beltFit: {
      lap: chance.oneOf(['thighs', 'thighs', 'belly'] as const),
      shoulder: chance.oneOf(['chest', 'chest', 'neck', 'off-shoulder', 'behind-back', 'under-arm'] as const),
    },
    ...(mode === 'booster' && { harness: { addOnProduct: chance.happens(FAULTY) } }),
  };
}

/** An invented rider of a plan, the n-th child of its family. */
export function riderOf(chance: Chance, n: number, plan: Plan): Rider {
  const { mode, kind, position, specialCare = false } = plan;
  const ageMonths = chance.whole(...plan.months);
  const sex = chance.oneOf(['female', 'male'] as const);
  const early = specialCare && chance.happens(0.5);
  const harnessed = mode === 'rear-facing' || mode === 'forward-facing';
  const inSeat = kind !== null && mode !== 'seat-belt';
  return {
    child: {
      id: `c${n}`,
      ageMonths,
      sex,
      ...sizeOf(chance, ageMonths, sex),
      ridesUpright: chance.happens(0.85),
      bornBeforeWeek37: early,
      medicalNeeds: specialCare && !early,
    },
    seat: kind === null ? null : seatOf(chance, `s${n}`, kind, plan.acquired),
    use: {
      childId: `c${n}`,
      seatId: inSeat ? `s${n}` : null,
      positionId: position,
      mode,
      ...(harnessed && heldByHarness(chance, mode)),
      ...(['booster', 'seat-belt'].includes(mode) && heldByBelt(chance, mode)),
    },
  };
}

/** A place in the vehicle; those behind the front have no frontal passenger air bag (common practice). */
export function placeOf(chance: Chance, id: string): Position {
  const row = Number(id[1]);
  return {
    id,
    row,
    side: id.endsWith('L') ? 'left' : id.endsWith('R') ? 'right' : 'center',
    belt: chance.oneOf([
      'lap-shoulder',
      'lap-shoulder',
      'lap-shoulder',
      'lap-shoulder',
      'lap-shoulder',
      'lap-only',
      'inflatable',
    ] as const),
    lowerAnchors: id.endsWith('C') ? chance.happens(0.3) : chance.happens(0.9),
    tetherAnchor: chance.happens(0.9),
    frontAirBag: row > 1 ? 'none' : chance.oneOf(['active', 'active', 'off', 'none'] as const),
    facing: chance.happens(0.03) ? 'side' : 'forward',
  };
}
