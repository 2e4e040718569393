import type { Assessment, Forecast } from '../assessment.ts';
import type { AdvisedMode, Case, Child, Measure, ModeInUse, Position, RestraintMode, Seat, Use } from '../case.ts';
import { completedMonths } from '../dates.ts';
import { ageOf } from '../facts.ts';
import type { FindingCode } from '../finding-codes.ts';
import { toInterval } from '../interval.ts';
import { parameter } from '../parameters/parameters.ts';
import { isRestraint } from '../rules/rule.ts';
import { expiryOf } from '../rules/seat-condition.ts';
import { seatFacts } from '../seat-facts.ts';
import type { Judged, Review } from './review.ts';
import { useOf } from './set-fact.ts';

export const MONTHLY_CHECKS = ['size', 'tight', 'tether', 'straps', 'pinch', 'clip', 'recline', 'belt'] as const;
export type MonthlyCheck = (typeof MONTHLY_CHECKS)[number];

/** What goes home about one child, in codes and figures. */
export interface TakeHome {
  readonly childId: string;
  readonly name: string | null;
  readonly mode: ModeInUse | null;
  /** What holds the seat; null where there is nothing to hold or it is not known. */
  readonly attachment: Use['attachment'] | null;
  readonly tether: boolean;
  readonly place: Pick<Position, 'row' | 'side'> | null;
  /** Null where the seat is not used any longer this way, or the mode has no limits. */
  readonly until: {
    readonly maxWeightKg: number | null;
    readonly maxHeightCm: number | null;
    /** When the first limit is reached, as months; null where that cannot be said. */
    readonly earliest: string | null;
    readonly latest: string | null;
    /** What comes then: another mode, or `bigger`, the same way in a seat that allows more. */
    readonly next: AdvisedMode | 'bigger' | null;
  } | null;
  /** The last day of the seat, YYYY-MM-DD; null where it is not known; undefined where there is no seat. */
  readonly expires: string | null | undefined;
  /** That day is over: what to do until there is another seat stands with what remains. */
  readonly expired: boolean;
  readonly corrected: readonly FindingCode[];
  readonly remaining: readonly FindingCode[];
  readonly monthly: readonly MonthlyCheck[];
}

const MONTHLY: Readonly<Record<AdvisedMode, readonly MonthlyCheck[]>> = {
  'rear-facing': ['size', 'tight', 'straps', 'pinch', 'clip', 'recline'],
  'forward-facing': ['size', 'tight', 'tether', 'straps', 'pinch', 'clip'],
  booster: ['size', 'belt'],
  'seat-belt': ['belt'],
};

/** Each way of riding with the next one, and the age in months under which the same way is still advised. */
const NEXT: Readonly<Record<RestraintMode, { readonly mode: AdvisedMode; readonly age: number }>> = {
  'rear-facing': { mode: 'forward-facing', age: parameter('typical-rear-facing-under-age') },
  'forward-facing': { mode: 'booster', age: parameter('harness-advised-under-age') },
  booster: { mode: 'seat-belt', age: parameter('belt-min-age') },
};

const months = (dates: readonly (string | null)[]): readonly string[] =>
  dates.filter((date) => date !== null).toSorted();

/** What follows when the first limit is reached, by the child's age then; null while that age is not known. */
function nextAfter(
  child: Child,
  mode: RestraintMode,
  earliest: string | null,
  asOf: string,
): AdvisedMode | 'bigger' | null {
  const age = ageOf(child, asOf);
  if (age === null || earliest === null) return null;
  const then = age.max + completedMonths(`${asOf.slice(0, 7)}-01`, `${earliest}-01`);
  const { mode: next, age: from } = NEXT[mode];
  return then < from ? 'bigger' : next;
}

const exact = (limit: Measure): number | null => toInterval(limit)?.min ?? null;

/** When the first of several limits is reached: not before the earliest of all, and by the earliest of the latest. */
export function firstReached(forecasts: readonly Forecast[]): { earliest: string | null; latest: string | null } {
  return {
    earliest: months(forecasts.map(({ earliest }) => earliest))[0] ?? null,
    latest: months(forecasts.map(({ latest }) => latest))[0] ?? null,
  };
}

function untilOf(child: Child, seat: Seat | undefined, mode: ModeInUse | null, { case: family, assessment }: Judged) {
  const assessed = assessment.children.find(({ childId }) => childId === child.id);
  if (!seat || mode === null || !isRestraint(mode) || !assessed) return null;
  const { status } = assessed.modes[mode];
  if (status === 'outgrown' || status === 'not-offered' || status === 'too-small') return null;
  const limits = seat.modes?.[mode];
  const { earliest, latest } = firstReached(assessed.forecast.filter((one) => one.mode === mode));
  return {
    maxWeightKg: exact(limits?.maxWeightKg),
    maxHeightCm: exact(limits?.maxHeightCm),
    earliest,
    latest,
    next: nextAfter(child, mode, earliest, family.asOf),
  };
}

export const expiryDay = (seat: Seat, asOf: string): string | null => expiryOf(seatFacts(seat, asOf))?.earliest ?? null;

const usesOf = (
  family: Case,
  childId: string,
): { use: Use; seat: Seat | undefined; position: Position | undefined } => {
  const use = useOf(family, childId);
  return {
    use,
    seat: family.seats.find(({ id }) => id === use.seatId),
    position: family.vehicle?.positions?.find(({ id }) => id === use.positionId),
  };
};

/** Findings for the technician's eyes or told elsewhere on the sheet, which a family can do nothing about at home. */
const NOT_FOR_HOME: ReadonlySet<FindingCode> = new Set<FindingCode>(['size-implausible', 'outgrowing-soon']);

type Finding = Assessment['findings'][number];

/** The sheet of one child, from the record as it stands. */
export function takeHomeOf({ found, left, findings }: Review, child: Child): TakeHome {
  const { use, seat, position } = usesOf(left.case, child.id);
  const came = usesOf(found.case, child.id);
  const mode = use.mode ?? null;
  const mine = (finding: Finding) =>
    finding.childId === child.id ||
    (finding.childId === null && finding.seatId !== null && [seat?.id, came.seat?.id].includes(finding.seatId));
  const inState = (...states: readonly string[]) => [
    ...new Set(
      findings
        .filter(({ finding, state }) => states.includes(state) && mine(finding) && !NOT_FOR_HOME.has(finding.code))
        .map(({ finding }) => finding.code),
    ),
  ];
  const restrained = mode !== null && mode !== 'lap-held' && mode !== 'none';
  const expires = seat && mode !== 'seat-belt' ? expiryDay(seat, left.case.asOf) : undefined;
  const expired = expires != null && expires < left.case.asOf;
  const harnessed = mode === 'rear-facing' || mode === 'forward-facing';
  return {
    childId: child.id,
    name: child.name?.trim() || null,
    mode,
    attachment: harnessed && use.attachment !== 'none' ? (use.attachment ?? null) : null,
    tether: mode === 'forward-facing' && use.tether === 'attached',
    place: position?.row != null ? { row: position.row, side: position.side } : null,
    until: expired ? null : untilOf(left.case.children.find(({ id }) => id === child.id) ?? child, seat, mode, left),
    expires,
    expired,
    corrected: inState('corrected'),
    remaining: inState('open', 'to-see'),
    monthly: restrained ? MONTHLY[mode] : [],
  };
}
