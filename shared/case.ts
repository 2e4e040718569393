import { z } from 'zod';
import { firstDay, isCalendarDate, isFullDate } from './dates.ts';
import { jsonPath } from './json-path.ts';
import { LAW_FACTS } from './laws/facts.ts';

export const RESTRAINT_MODES = ['rear-facing', 'forward-facing', 'booster'] as const;
export const ADVISED_MODES = [...RESTRAINT_MODES, 'seat-belt'] as const;
export const MODES_IN_USE = [...ADVISED_MODES, 'lap-held', 'none'] as const;
export const SEAT_KINDS = [
  'rear-facing-only',
  'convertible',
  'all-in-one',
  'forward-facing-harness',
  'combination',
  'booster',
  'vest',
  'unknown',
] as const;

const MAX = { kg: 500, cm: 300, months: 1200, years: 100 };

/** A number, a range of numbers, or unknown. */
const measure = (max: number) =>
  z
    .union([
      z.number().min(0).max(max),
      z
        .strictObject({
          min: z.number().min(0).max(max),
          max: z.number().min(0).max(max),
        })
        .refine((range) => range.min <= range.max, {
          error: 'min is above max',
        }),
    ])
    .nullish();

const kg = measure(MAX.kg);
const cm = measure(MAX.cm);
const months = measure(MAX.months);
const flag = z.boolean().nullish();
const id = z.string().min(1).max(100);
const text = z.string().max(2000).nullish();
const date = z.string().refine(isCalendarDate, {
  error: 'not a date of the form YYYY, YYYY-MM or YYYY-MM-DD',
});
const oneOf = <const T extends readonly string[]>(values: T) => z.enum(values).nullish();

const limits = z.strictObject({
  minWeightKg: kg,
  maxWeightKg: kg,
  minHeightCm: cm,
  maxHeightCm: cm,
  minAgeMonths: months,
});

const child = z.strictObject({
  id,
  name: text,
  birthDate: date.nullish(),
  ageMonths: months,
  sex: oneOf(['female', 'male']),
  weightKg: kg,
  heightCm: cm,
  sizeConfirmed: flag,
  ridesUpright: flag,
  bornBeforeWeek37: flag,
  medicalNeeds: flag,
  lawFacts: z.array(z.enum(LAW_FACTS)).nullish(),
});

const seat = z.strictObject({
  id,
  description: text,
  modelNumber: text,
  kind: oneOf(SEAT_KINDS),
  modes: z
    .strictObject({
      'rear-facing': limits.nullish(),
      'forward-facing': limits.nullish(),
      booster: limits.nullish(),
    })
    .nullish(),
  massKg: kg,
  widthCm: cm,
  lowerAnchorLimitKg: z.strictObject({ 'rear-facing': kg, 'forward-facing': kg }).nullish(),
  bothAllowed: flag,
  borrowedAllowed: flag,
  manufactureDate: date.nullish(),
  expiryDate: date.nullish(),
  usefulLifeYears: measure(MAX.years),
  acquired: oneOf(['new', 'known-second-hand', 'unknown-second-hand']),
  crash: z
    .strictObject({
      happened: flag,
      drivable: flag,
      nearestDoorUndamaged: flag,
      noInjuries: flag,
      noAirBags: flag,
      noVisibleSeatDamage: flag,
    })
    .nullish(),
  labelReadable: flag,
  partsComplete: flag,
  certified: flag,
  recall: oneOf(['none', 'open', 'remedied', 'unchecked']),
  registered: flag,
});

const position = z.strictObject({
  id,
  row: z.int().min(1).max(10).nullish(),
  side: oneOf(['left', 'center', 'right']),
  belt: oneOf(['lap-shoulder', 'lap-only', 'inflatable']),
  lowerAnchors: flag,
  tetherAnchor: flag,
  frontAirBag: oneOf(['active', 'off', 'none']),
  widthCm: cm,
  facing: oneOf(['forward', 'side', 'rear']),
});

const vehicle = z.strictObject({
  modelYear: z.int().min(1900).max(2100).nullish(),
  vin: text,
  description: text,
  lowerAnchorLimitKg: kg,
  positions: z.array(position).nullish(),
});

const use = z.strictObject({
  childId: id,
  seatId: id.nullish(),
  positionId: id.nullish(),
  mode: oneOf(MODES_IN_USE),
  attachment: oneOf(['lower-anchors', 'seat-belt', 'both', 'none']),
  beltPath: oneOf(['rear-facing', 'forward-facing']),
  beltLocked: flag,
  twisted: flag,
  tether: oneOf(['attached', 'not-attached']),
  movementCm: cm,
  recline: oneOf(['in-range', 'too-upright', 'too-reclined']),
  headClearanceCm: cm,
  harness: z
    .strictObject({
      straps: oneOf(['below', 'at', 'above']),
      pinchable: flag,
      chestClip: oneOf(['armpit', 'low', 'high']),
      bulkyClothing: flag,
      addOnProduct: flag,
      infantInsert: flag,
    })
    .nullish(),
  beltFit: z
    .strictObject({
      lap: oneOf(['thighs', 'belly']),
      shoulder: oneOf(['chest', 'neck', 'off-shoulder', 'behind-back', 'under-arm']),
    })
    .nullish(),
});

type Parts = {
  asOf: string;
  children: { id: string; birthDate?: string | null | undefined }[];
  seats: { id: string }[];
  vehicle?: { positions?: { id: string }[] | null | undefined } | null | undefined;
  uses: {
    childId: string;
    seatId?: string | null | undefined;
    positionId?: string | null | undefined;
  }[];
};

/** What one field alone cannot show: ids that tie the parts together, and dates against `asOf`. */
function checkTogether(parts: Parts, ctx: z.RefinementCtx): void {
  const fail = (path: (string | number)[], message: string) => ctx.addIssue({ code: 'custom', path, message });
  const collect = (list: { id: string }[], at: string[]): Set<string> => {
    const seen = new Set<string>();
    for (const [i, { id }] of list.entries()) {
      if (seen.has(id)) fail([...at, i, 'id'], `the id "${id}" is used twice`);
      seen.add(id);
    }
    return seen;
  };
  const children = collect(parts.children, ['children']);
  const seats = collect(parts.seats, ['seats']);
  const positions = collect(parts.vehicle?.positions ?? [], ['vehicle', 'positions']);
  const users = new Set<string>();
  for (const [i, use] of parts.uses.entries()) {
    if (!children.has(use.childId)) fail(['uses', i, 'childId'], `no child has the id "${use.childId}"`);
    if (users.has(use.childId)) fail(['uses', i, 'childId'], `the child "${use.childId}" has two uses`);
    users.add(use.childId);
    if (use.seatId != null && !seats.has(use.seatId)) fail(['uses', i, 'seatId'], `no seat has the id "${use.seatId}"`);
    if (use.positionId != null && !positions.has(use.positionId))
      fail(['uses', i, 'positionId'], `no position has the id "${use.positionId}"`);
  }
  for (const [i, { birthDate }] of parts.children.entries())
    if (birthDate != null && firstDay(birthDate) > parts.asOf)
      fail(['children', i, 'birthDate'], `the birth date ${birthDate} is after asOf ${parts.asOf}`);
}

/** One family's facts. Any fact may be absent or null: unknown. Kilograms, centimetres, completed months. */
export const caseSchema = z
  .strictObject({
    asOf: z.string().refine(isFullDate, { error: 'not a full date of the form YYYY-MM-DD' }),
    jurisdiction: z.string().max(20).nullish(),
    needsInterpreter: flag,
    children: z.array(child).max(20).default([]),
    seats: z.array(seat).max(40).default([]),
    vehicle: vehicle.nullish(),
    uses: z.array(use).max(20).default([]),
  })
  .superRefine(checkTogether);

export type Case = z.infer<typeof caseSchema>;
export type Child = Case['children'][number];
export type Seat = Case['seats'][number];
export type Vehicle = NonNullable<Case['vehicle']>;
export type Position = NonNullable<Vehicle['positions']>[number];
export type Use = Case['uses'][number];
export type Limits = z.infer<typeof limits>;
export type Measure = z.infer<typeof kg>;
export type RestraintMode = (typeof RESTRAINT_MODES)[number];
export type AdvisedMode = (typeof ADVISED_MODES)[number];
export type ModeInUse = (typeof MODES_IN_USE)[number];
export type SeatKind = (typeof SEAT_KINDS)[number];

export interface CaseError {
  /** JSONPath of the fault, such as `$.children[0].weightKg`. */
  readonly path: string;
  readonly message: string;
}

export type CaseResult = { ok: true; case: Case } | { ok: false; error: CaseError };

/** The deepest issue of a union is the one that says what to mend. */
function firstIssue(issues: readonly z.core.$ZodIssue[], at: readonly PropertyKey[] = []): CaseError {
  const issue = issues[0];
  if (!issue) return { path: jsonPath(at), message: 'not a case' };
  const path = [...at, ...issue.path];
  if (issue.code === 'invalid_union') {
    const inner =
      issue.errors.find((branch) => branch.some((i) => i.path.length > 0 || i.code !== 'invalid_type')) ?? [];
    if (inner.length > 0) return firstIssue(inner, path);
    return {
      path: jsonPath(path),
      message: 'expected a number or a range {"min":…,"max":…}',
    };
  }
  return { path: jsonPath(path), message: issue.message };
}

/** Checks anything against the case schema. The error is a value: where, and what to mend. */
export function parseCase(value: unknown): CaseResult {
  const result = caseSchema.safeParse(value);
  return result.success ? { ok: true, case: result.data } : { ok: false, error: firstIssue(result.error.issues) };
}
