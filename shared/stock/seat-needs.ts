import type { FitBits } from '#shared/advice.ts';
import { adviceAt, hasMode, modesIn } from '#shared/advice.ts';
import type { AdvisedMode, Case, Child, RestraintMode } from '#shared/case.ts';
import { RESTRAINT_MODES } from '#shared/case.ts';
import type { ChildFacts } from '#shared/facts.ts';
import type { JudgedChild } from '#shared/judged-child.ts';
import { judgeChild } from '#shared/judged-child.ts';
import { FIT, fitAt } from '#shared/mode-fit.ts';
import type { SourceId } from '#shared/parameters/sources.ts';
import type { Size } from '#shared/possible-sizes.ts';
import { isRestraint } from '#shared/rules/rule.ts';
import { seatFacts } from '#shared/seat-facts.ts';
import type { Bounds } from './odds.ts';
import { isPossible } from './odds.ts';
import type { ConditionReason, SeatCondition } from './seat-condition.ts';
import { conditionSources, seatCondition } from './seat-condition.ts';
import { sizeOdds } from './size-odds.ts';

/** Why a child itself, not the seat's condition, may need another seat. */
const CHILD_REASONS = {
  unborn: ['S-151', 'S-166'],
  'no-seat': ['S-151', 'S-153', 'S-156'],
  'seat-unknown': ['S-151', 'S-153'],
  outgrown: ['S-022', 'S-025', 'S-151', 'WHO-2006', 'CDC-2000', 'GROWTH-SPREAD'],
  'outgrown-soon': ['S-151', 'WHO-2006', 'CDC-2000', 'GROWTH-SPREAD'],
  'too-small': ['S-020', 'S-022', 'S-025'],
  'not-offered': ['S-002', 'S-022'],
} as const satisfies Readonly<Record<string, readonly SourceId[]>>;

export type SeatReason = ConditionReason | keyof typeof CHILD_REASONS;

/** The sources that a reason rests on. */
export const seatReasonSources = (reason: SeatReason): readonly SourceId[] =>
  Object.hasOwn(CHILD_REASONS, reason)
    ? CHILD_REASONS[reason as keyof typeof CHILD_REASONS]
    : conditionSources(reason as ConditionReason);

/** A seat of some kind that a child may need, with how likely, and how likely for each reason. */
export interface SeatNeed {
  readonly mode: RestraintMode;
  readonly odds: Bounds;
  readonly reasons: readonly { readonly reason: SeatReason; readonly odds: Bounds }[];
}

/** A child still to be born stands in the case as a newborn without a birth date or a size. */
export const isUnborn = ({ ageMonths, birthDate, weightKg, heightCm }: Child): boolean =>
  ageMonths === 0 && birthDate == null && weightKg == null && heightCm == null;

/** The ways in which one mode of the seat can turn out, one bit each: an unknown fit may be a fit or outgrown. */
const pureFits = (bits: number): readonly number[] => [
  ...(bits & FIT.notOffered ? [FIT.notOffered] : []),
  ...(bits & (FIT.outgrown | FIT.unknown) ? [FIT.outgrown] : []),
  ...(bits & FIT.tooSmall ? [FIT.tooSmall] : []),
  ...(bits & (FIT.fits | FIT.unknown) ? [FIT.fits] : []),
];

const completions = (facts: ChildFacts, size: Size): readonly FitBits[] => {
  const [rear, front, booster] = RESTRAINT_MODES.map((mode) => pureFits(fitAt(facts, mode, size)));
  return (rear ?? []).flatMap((r) =>
    (front ?? []).flatMap((f) => (booster ?? []).map((b) => ({ 'rear-facing': r, 'forward-facing': f, booster: b }))),
  );
};

/** What one completion makes of the child's seat; null where none is needed. */
interface Outcome {
  readonly mode: RestraintMode;
  readonly reason: SeatReason;
  /** False where the need itself is open. */
  readonly sure: boolean;
}

interface Situation {
  readonly facts: ChildFacts;
  readonly unborn: boolean;
  readonly condition: SeatCondition | null;
  readonly demanded: ReadonlySet<AdvisedMode>;
}

/** The mode is said, the seat is not; or nothing is known of how the child rides. */
const seatUnknown = ({ seatId, mode }: ChildFacts): boolean => seatId === null && (mode === null || isRestraint(mode));

const misfit = (facts: ChildFacts, fit: FitBits, mode: RestraintMode): SeatReason => {
  const inUse = isRestraint(facts.mode) ? fit[facts.mode] : 0;
  if (fit[mode] === FIT.outgrown || inUse === FIT.outgrown) return 'outgrown';
  return fit[mode] === FIT.tooSmall ? 'too-small' : 'not-offered';
};

function outcomeOf({ facts, unborn, condition, demanded }: Situation, size: Size, fit: FitBits): Outcome | null {
  const advice = adviceAt(facts, size, fit, demanded);
  const [mode] = modesIn(advice.modes);
  if (mode === undefined || mode === 'seat-belt') return null;
  if (facts.seatId === null) {
    if (unborn) return { mode, reason: 'unborn', sure: facts.hasUse };
    return seatUnknown(facts) ? { mode, reason: 'seat-unknown', sure: false } : { mode, reason: 'no-seat', sure: true };
  }
  if (condition?.reason && condition.replaced.low === 1) return { mode, reason: condition.reason, sure: true };
  if (!hasMode(advice.kept, mode)) return { mode, reason: misfit(facts, fit, mode), sure: true };
  return condition?.reason ? { mode, reason: condition.reason, sure: false } : null;
}

const LOW = 0;
const HIGH = 1;
type Tally = Map<string, readonly [low: number[], high: number[]]>;

/** Adds a cell's odds under a key: to the upper end where some completion has it, to the lower where every one surely has. */
function tally(sums: Tally, key: string, odds: readonly number[], everySure: boolean): void {
  const sum = sums.get(key) ?? [odds.map(() => 0), odds.map(() => 0)];
  for (const [i, mass] of odds.entries()) {
    if (everySure) sum[LOW][i] = (sum[LOW][i] as number) + mass;
    sum[HIGH][i] = (sum[HIGH][i] as number) + mass;
  }
  sums.set(key, sum);
}

const held = (p: number): number => Math.min(1, Math.max(0, p));
const boundsOf = (sums: Tally, key: string): Bounds => {
  const [low, high] = sums.get(key) ?? [[0], [0]];
  return { low: held(Math.min(...low)), high: held(Math.max(...high)) };
};

/** Sizes with their odds; without any source of odds each possible size is one answer that may be all of them. */
function cellsOf({ facts, judgement }: JudgedChild, ahead: number) {
  const cells = sizeOdds(facts, judgement.body, ahead);
  return cells === null
    ? { groups: [judgement.body.sizes], odds: [[1]] }
    : { groups: cells.map(({ size }) => [size]), odds: cells.map(({ odds }) => odds) };
}

/**
 * The seats that one child may need, by the mode that is advised then. `family` is the case on the day in question,
 * `ahead` the whole months since its sizes were told. The bounds hold over all that no source gives odds for.
 */
export function seatNeeds(family: Case, child: Child, ahead: number, unborn: boolean): readonly SeatNeed[] {
  const judged = judgeChild(family, child);
  const { facts, judgement } = judged;
  const seat = family.seats.find(({ id }) => id === facts.seatId);
  const condition = seat ? seatCondition(seatFacts(seat, family.asOf)) : null;
  const situation = { facts, unborn, condition, demanded: judgement.demanded };
  const { groups, odds } = cellsOf(judged, ahead);
  const sums: Tally = new Map();
  for (const [i, sizes] of groups.entries()) {
    const outcomes = sizes.flatMap((size) => completions(facts, size).map((fit) => outcomeOf(situation, size, fit)));
    const keys = new Set(outcomes.flatMap((one) => (one ? [one.mode, `${one.mode} ${one.reason}`] : [])));
    for (const key of keys)
      tally(
        sums,
        key,
        odds[i] as readonly number[],
        outcomes.every((one) => one?.sure && (key === one.mode || key === `${one.mode} ${one.reason}`)),
      );
  }
  return RESTRAINT_MODES.flatMap((mode) => {
    const need = boundsOf(sums, mode);
    const reasons = [...sums.keys()]
      .filter((key) => key.startsWith(`${mode} `))
      .map((key) => ({ reason: key.slice(mode.length + 1) as SeatReason, odds: boundsOf(sums, key) }));
    return isPossible(need) ? [{ mode, odds: need, reasons }] : [];
  });
}
