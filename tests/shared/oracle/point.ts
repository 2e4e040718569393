import type { AdvisedMode, Case, RestraintMode, Seat, Use } from '#shared/case.ts';
import type { Sex } from './growth.ts';

/**
 * A plain second reading of the rules, for one completion of the facts: every number of the child and of the labels is
 * exact. Facts that are not numbers stay as known or unknown, because the rules speak of what is known.
 */
export interface PointChild {
  readonly id: string;
  readonly age: number;
  readonly weight: number;
  readonly height: number;
  readonly sex: Sex;
  /** Which of the three were stated (and plausible or confirmed): without them nothing is forecast. */
  readonly stated: { readonly age: boolean; readonly weight: boolean; readonly height: boolean };
  readonly ridesUpright: boolean | null;
  readonly preterm: boolean | null;
  readonly medical: boolean | null;
}

/** Numbers exact; null: the label states none; undefined: not known. */
export interface PointLimits {
  readonly minWeight?: number | null;
  readonly maxWeight?: number | null;
  readonly minHeight?: number | null;
  readonly maxHeight?: number | null;
  readonly minAge?: number | null;
}

export type Status = 'not-offered' | 'outgrown' | 'too-small' | 'unknown' | 'fits';

export interface Point {
  readonly child: PointChild;
  readonly use: Use | null;
  readonly seat: Seat | null;
  readonly limits: Partial<Record<RestraintMode, PointLimits>>;
  /** How a mode of unknown status is completed. */
  readonly completeAs: Record<RestraintMode, Status>;
  /** Modes the law certainly demands, with no exception unanswered: judged on the whole case, not on the point. */
  readonly demanded: readonly AdvisedMode[];
  readonly mass: number | null;
  readonly anchorLabel: number | null;
  readonly vehicleAnchors: number | null;
  readonly movement: number | null;
  readonly headClearance: number | null;
  readonly kase: Case;
}

export const LB = 0.45359237;
export const IN = 2.54;
const SLACK = 1e-6;
export const above = (a: number, b: number) => a > b + SLACK;
export const below = (a: number, b: number) => a < b - SLACK;

const MODES: readonly RestraintMode[] = ['rear-facing', 'forward-facing', 'booster'];
export const HIGHEST: Record<RestraintMode, { weight: number; height: number } | null> = {
  'rear-facing': { weight: 50 * LB, height: 50 * IN },
  'forward-facing': { weight: 90 * LB, height: 63 * IN },
  booster: null,
};
const LEAST_WEIGHT: Record<RestraintMode, number> = {
  'rear-facing': 5 * LB,
  'forward-facing': 26.5 * LB,
  booster: 40 * LB,
};

export function kindHas(seat: Seat, mode: RestraintMode): boolean | 'unknown' {
  switch (seat.kind) {
    case 'rear-facing-only':
      return mode === 'rear-facing';
    case 'convertible':
      return mode !== 'booster';
    case 'all-in-one':
      return true;
    case 'forward-facing-harness':
    case 'vest':
      return mode === 'forward-facing';
    case 'combination':
      return mode !== 'rear-facing';
    case 'booster':
      return mode === 'booster';
    default:
      return 'unknown';
  }
}

/** "Does a mode fit?" where the seat has the mode: looked for in the order of the rules. */
function fitOf(point: Point, mode: RestraintMode): Status {
  const { child, use } = point;
  const highest = HIGHEST[mode];
  const limits = point.limits[mode] ?? {};
  if (limits.maxWeight != null && above(child.weight, limits.maxWeight)) return 'outgrown';
  if (limits.maxHeight != null && above(child.height, limits.maxHeight)) return 'outgrown';
  if (highest && (above(child.weight, highest.weight) || above(child.height, highest.height))) return 'outgrown';
  if (mode === 'rear-facing' && use?.mode === 'rear-facing' && point.headClearance != null)
    if (below(point.headClearance, IN)) return 'outgrown';
  const leastWeight = limits.minWeight === undefined ? LEAST_WEIGHT[mode] : limits.minWeight;
  if (leastWeight !== null && below(child.weight, leastWeight)) return 'too-small';
  if (limits.minHeight != null && below(child.height, limits.minHeight)) return 'too-small';
  if (limits.minAge != null && below(child.age, limits.minAge)) return 'too-small';
  return limits.maxWeight === undefined || limits.maxHeight === undefined ? 'unknown' : 'fits';
}

const offers = ({ seat, use, limits }: Point, mode: RestraintMode): boolean | 'unknown' => {
  if (!use || !seat) return false;
  return limits[mode] ? true : kindHas(seat, mode);
};

/** The status of a mode: unknown while it is unknown whether the seat has it. */
export function statusOf(point: Point, mode: RestraintMode): Status {
  const offered = offers(point, mode);
  return offered === true ? fitOf(point, mode) : offered ? 'unknown' : 'not-offered';
}

/** What an unknown status may turn out to be: fitting, outgrown and, where that is unknown, not offered. */
export function mayTurnOut(point: Point, mode: RestraintMode): readonly Status[] {
  if (statusOf(point, mode) !== 'unknown') return ['unknown'];
  const fit = fitOf(point, mode);
  const whereOffered: readonly Status[] = fit === 'unknown' ? ['fits', 'outgrown'] : [fit];
  return offers(point, mode) === true ? whereOffered : [...whereOffered, 'not-offered'];
}

/** The statuses with every unknown one completed. */
export function completed(point: Point): Record<RestraintMode, Status> {
  const status = (mode: RestraintMode): Status => {
    const found = statusOf(point, mode);
    return found === 'unknown' ? point.completeAs[mode] : found;
  };
  return {
    'rear-facing': status('rear-facing'),
    'forward-facing': status('forward-facing'),
    booster: status('booster'),
  };
}

const within = (child: PointChild, pounds: number, inches: number) =>
  !above(child.weight, pounds * LB) && !above(child.height, inches * IN);
export const withinTypical: Record<'rear-facing' | 'forward-facing', (child: PointChild) => boolean> = {
  'rear-facing': (child) => within(child, 40, 40),
  'forward-facing': (child) => within(child, 65, 49),
};

/** Rules 1 to 8 of "Which mode is advised?". */
function adviceByProtection(point: Point): AdvisedMode {
  const { child, use } = point;
  const fit = completed(point);
  const alone = use?.mode === 'seat-belt';
  const poor =
    use?.beltFit?.lap === 'belly' || use?.beltFit?.shoulder === 'neck' || use?.beltFit?.shoulder === 'off-shoulder';
  if (child.age >= 156 || (!below(child.height, 57 * IN) && child.age >= 96))
    return alone && poor ? 'booster' : 'seat-belt';
  if (fit['rear-facing'] === 'fits') return 'rear-facing';
  if (child.age < 24) return 'rear-facing';
  const harness = fit['forward-facing'];
  if (harness === 'fits') return 'forward-facing';
  if (child.age < 36 && withinTypical['rear-facing'](child) && (harness === 'not-offered' || harness === 'too-small'))
    return 'rear-facing';
  if (below(child.weight, 40 * LB) || child.age < 48 || child.ridesUpright === false) return 'forward-facing';
  if (child.age < 60 && withinTypical['forward-facing'](child)) return 'forward-facing';
  return 'booster';
}

export const PROTECTIVE: readonly AdvisedMode[] = ['rear-facing', 'forward-facing', 'booster', 'seat-belt'];

/** With rule 9: the law may ask for more than rules 1 to 8, never for less. */
export function adviceOf(point: Point): { mode: AdvisedMode; seatChange: boolean } {
  const base = adviceByProtection(point);
  const lawful = point.demanded.filter(
    (mode) => mode === 'booster' || mode === 'seat-belt' || withinTypical[mode](point.child),
  );
  const mode = PROTECTIVE.find((candidate) => candidate === base || lawful.includes(candidate)) ?? base;
  return { mode, seatChange: mode !== 'seat-belt' && completed(point)[mode] !== 'fits' };
}

export type Verdict = 'allowed' | 'not-allowed' | 'unknown';

/** The lower-anchor limit for the child: null while unknown. */
export function anchorLimit(point: Point): number | null {
  const mode = point.use?.mode;
  if (mode !== 'rear-facing' && mode !== 'forward-facing') return null;
  const standard = point.mass === null ? null : (mode === 'rear-facing' ? 60 : 65) * LB - point.mass;
  const label = point.anchorLabel ?? standard;
  const vehicle =
    point.vehicleAnchors === null ? Infinity : point.mass === null ? null : point.vehicleAnchors - point.mass;
  return label === null || vehicle === null ? null : Math.min(label, vehicle);
}

/** Above the lower-anchor limit whatever the mass, where that is unknown: it is at least nothing. */
export function overAnchorLimit(point: Point): boolean {
  const mode = point.use?.mode;
  if (mode !== 'rear-facing' && mode !== 'forward-facing') return false;
  const atLeast = point.mass ?? 0;
  const label = point.anchorLabel ?? (mode === 'rear-facing' ? 60 : 65) * LB - atLeast;
  const vehicle = point.vehicleAnchors === null ? Infinity : point.vehicleAnchors - atLeast;
  return above(point.child.weight, Math.min(label, vehicle));
}

export function positionOf(point: Point) {
  return point.kase.vehicle?.positions?.find((position) => position.id === point.use?.positionId) ?? null;
}

export function attachmentOf(point: Point): {
  lowerAnchors: Verdict;
  seatBelt: Verdict;
  tether: 'required' | 'not-used' | 'unknown';
} {
  const mode = point.use?.mode;
  const position = positionOf(point);
  const harnessed = mode === 'rear-facing' || mode === 'forward-facing';
  const unharnessed = mode === 'seat-belt' || mode === 'lap-held' || mode === 'none';
  const limit = anchorLimit(point);
  const borrow = point.seat?.borrowedAllowed === true;
  let lowerAnchors: Verdict = 'unknown';
  if (unharnessed) lowerAnchors = 'not-allowed';
  else if (harnessed && point.seat?.kind !== 'vest') {
    if (overAnchorLimit(point)) lowerAnchors = 'not-allowed';
    else if (position?.lowerAnchors === false && !borrow) lowerAnchors = 'not-allowed';
    else if (limit !== null && (position?.lowerAnchors === true || borrow)) lowerAnchors = 'allowed';
  }
  let seatBelt: Verdict = 'unknown';
  if (mode === 'lap-held' || mode === 'none') seatBelt = 'not-allowed';
  else if (mode && position?.belt === 'lap-shoulder') seatBelt = 'allowed';
  else if (mode && position?.belt === 'lap-only') seatBelt = harnessed ? 'allowed' : 'not-allowed';
  // Without a mode the tether could still be that of forward-facing.
  let tether: 'required' | 'not-used' | 'unknown' = 'not-used';
  if (!mode) tether = position?.tetherAnchor === false ? 'not-used' : 'unknown';
  else if (mode === 'forward-facing')
    tether = position?.tetherAnchor == null ? 'unknown' : position.tetherAnchor ? 'required' : 'not-used';
  return { lowerAnchors, seatBelt, tether };
}

export { MODES };
