import type { ModeFit } from './assessment.ts';
import type { RestraintMode, SeatKind } from './case.ts';
import type { ChildFacts, Limit, LimitFacts } from './facts.ts';
import { NO_LIMITS } from './facts.ts';
import type { Interval } from './interval.ts';
import { isAbove, isBelow, maybeBelow, surelyBelow, toMeasure } from './interval.ts';
import { parameter } from './parameters/parameters.ts';
import type { Size } from './possible-sizes.ts';

/** How a mode can turn out to fit, as bits, so that several completions add up to a set. */
export const FIT = { notOffered: 1, outgrown: 2, tooSmall: 4, unknown: 8, fits: 16 } as const;

const STATUS: Readonly<Record<number, ModeFit['status']>> = {
  [FIT.notOffered]: 'not-offered',
  [FIT.outgrown]: 'outgrown',
  [FIT.tooSmall]: 'too-small',
  [FIT.fits]: 'fits',
};

/** The one status of a set of outcomes; unknown where completions differ. */
export const fitStatus = (bits: number): ModeFit['status'] => STATUS[bits] ?? 'unknown';

/** The ways of riding each kind of seat is made for (rules.md, Does a mode fit). */
export const MODES_OF_KIND: Readonly<Record<Exclude<SeatKind, 'unknown'>, readonly RestraintMode[]>> = {
  'rear-facing-only': ['rear-facing'],
  convertible: ['rear-facing', 'forward-facing'],
  'all-in-one': ['rear-facing', 'forward-facing', 'booster'],
  'forward-facing-harness': ['forward-facing'],
  combination: ['forward-facing', 'booster'],
  booster: ['booster'],
  vest: ['forward-facing'],
};

/** Whether the seat offers a mode: null while its kind is unknown and its label was not read for that mode. */
export const isOffered = (facts: ChildFacts, mode: RestraintMode): boolean | null => {
  if (facts.seatId === null) return false;
  if (facts.limits[mode] !== null) return true;
  return facts.kind === null ? null : MODES_OF_KIND[facts.kind].includes(mode);
};

/** Taken where the label's minimum weight is absent. */
export const USUAL_MIN_WEIGHT: Readonly<Record<RestraintMode, number>> = {
  'rear-facing': parameter('rear-facing-min-weight'),
  'forward-facing': parameter('forward-facing-min-weight'),
  booster: parameter('booster-min-weight'),
};

/** No seat on sale goes further, whatever a label is said to state; none is known for boosters. */
export const HIGHEST: Readonly<Record<RestraintMode, { weightKg: number; heightCm: number }>> = {
  'rear-facing': {
    weightKg: parameter('highest-rear-facing-weight'),
    heightCm: parameter('highest-rear-facing-height'),
  },
  'forward-facing': { weightKg: parameter('highest-harness-weight'), heightCm: parameter('highest-harness-height') },
  booster: { weightKg: Number.POSITIVE_INFINITY, heightCm: Number.POSITIVE_INFINITY },
};

export const MIN_HEAD_CLEARANCE: Interval = {
  min: parameter('min-head-clearance'),
  max: parameter('min-head-clearance'),
};

export const limitsOf = (facts: ChildFacts, mode: RestraintMode): LimitFacts => facts.limits[mode] ?? NO_LIMITS;

const surelyOver = (value: number, limit: Limit): boolean => limit != null && isAbove(value, limit.max);
const maybeOver = (value: number, limit: Limit): boolean => limit != null && isAbove(value, limit.min);
const surelyUnder = (value: number, limit: Limit): boolean => limit != null && isBelow(value, limit.min);
const maybeUnder = (value: number, limit: Limit): boolean => limit != null && isBelow(value, limit.max);

const clearanceLow = (facts: ChildFacts, mode: RestraintMode, compare: (a: Interval, b: Interval) => boolean) =>
  mode === 'rear-facing' &&
  facts.mode === 'rear-facing' &&
  facts.headClearance !== null &&
  compare(facts.headClearance, MIN_HEAD_CLEARANCE);

/** The ways in which a mode that is offered can turn out for a child of this exact size, as FIT bits. */
const fitOfOffered = (facts: ChildFacts, mode: RestraintMode, { ageMonths, weightKg, heightCm }: Size): number => {
  const limits = limitsOf(facts, mode);
  const { minWeightKg, maxWeightKg, minHeightCm, maxHeightCm, minAgeMonths } = limits;
  const highest = HIGHEST[mode];
  if (
    surelyOver(weightKg, maxWeightKg) ||
    surelyOver(heightCm, maxHeightCm) ||
    isAbove(weightKg, highest.weightKg) ||
    isAbove(heightCm, highest.heightCm) ||
    clearanceLow(facts, mode, surelyBelow)
  )
    return FIT.outgrown;
  const maybeOutgrown =
    maybeOver(weightKg, maxWeightKg) || maybeOver(heightCm, maxHeightCm) || clearanceLow(facts, mode, maybeBelow);
  const bits = maybeOutgrown ? FIT.outgrown : 0;
  const tooLight =
    minWeightKg === undefined ? isBelow(weightKg, USUAL_MIN_WEIGHT[mode]) : surelyUnder(weightKg, minWeightKg);
  if (tooLight || surelyUnder(heightCm, minHeightCm) || surelyUnder(ageMonths, minAgeMonths))
    return bits | FIT.tooSmall;
  const maybeTooSmall =
    maybeUnder(weightKg, minWeightKg) || maybeUnder(heightCm, minHeightCm) || maybeUnder(ageMonths, minAgeMonths);
  const known = maxWeightKg !== undefined && maxHeightCm !== undefined;
  return bits | (maybeTooSmall ? FIT.tooSmall : 0) | (known ? FIT.fits : FIT.unknown);
};

/** The ways in which a mode of the seat can turn out for a child of this exact size (rules.md, Does a mode fit?). */
export const fitAt = (facts: ChildFacts, mode: RestraintMode, size: Size): number => {
  const offered = isOffered(facts, mode);
  if (offered === false) return FIT.notOffered;
  return (offered === null ? FIT.notOffered : 0) | fitOfOffered(facts, mode, size);
};

type Reason = NonNullable<ModeFit['because']>[number];

const reasons = (facts: ChildFacts, mode: RestraintMode, sizes: readonly Size[], bits: number): Reason[] => {
  const { minWeightKg, maxWeightKg, minHeightCm, maxHeightCm, minAgeMonths } = limitsOf(facts, mode);
  const highest = HIGHEST[mode];
  const some = (test: (size: Size) => boolean) => sizes.some(test);
  const found: Reason[] = [];
  if (bits === FIT.outgrown) {
    if (some((s) => surelyOver(s.weightKg, maxWeightKg) || isAbove(s.weightKg, highest.weightKg))) found.push('weight');
    if (some((s) => surelyOver(s.heightCm, maxHeightCm) || isAbove(s.heightCm, highest.heightCm))) found.push('height');
    if (clearanceLow(facts, mode, surelyBelow)) found.push('head-clearance');
  }
  if (bits === FIT.tooSmall) {
    const least = minWeightKg === undefined ? USUAL_MIN_WEIGHT[mode] : minWeightKg?.min;
    if (some((s) => surelyUnder(s.ageMonths, minAgeMonths))) found.push('age');
    if (least !== undefined && some((s) => isBelow(s.weightKg, least))) found.push('weight');
    if (some((s) => surelyUnder(s.heightCm, minHeightCm))) found.push('height');
  }
  return found;
};

/** How far below a maximum a measure stays; null where the label states none. */
export const headroom = (value: Interval, max: Limit, highest: number): Interval | null =>
  max == null
    ? null
    : {
        min: Math.max(0, Math.min(max.min, highest) - value.max),
        max: Math.max(0, Math.min(max.max, highest) - value.min),
      };

/** The fit of a mode over all completions, with its reasons or its headroom. */
export const describeFit = (
  facts: ChildFacts,
  mode: RestraintMode,
  bits: number,
  { sizes, weight, height }: { sizes: readonly Size[]; weight: Interval; height: Interval },
): ModeFit => {
  const status = fitStatus(bits);
  if (status === 'outgrown' || status === 'too-small') return { status, because: reasons(facts, mode, sizes, bits) };
  if (status !== 'fits') return { status };
  const limits = limitsOf(facts, mode);
  const weightRoom = headroom(weight, limits.maxWeightKg, HIGHEST[mode].weightKg);
  const heightRoom = headroom(height, limits.maxHeightCm, HIGHEST[mode].heightCm);
  return {
    status,
    headroom: { weightKg: weightRoom && toMeasure(weightRoom), heightCm: heightRoom && toMeasure(heightRoom) },
  };
};
