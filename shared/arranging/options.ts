import { modesIn } from '../advice.ts';
import type { AdvisedMode, Case, Child, Position, Seat } from '../case.ts';
import { ADVISED_MODES } from '../case.ts';
import { STEP } from '../fact-keys.ts';
import type { ChildFacts } from '../facts.ts';
import { childFacts, positionFacts } from '../facts.ts';
import type { FindingCode } from '../finding-codes.ts';
import { isBelow } from '../interval.ts';
import type { Judgement } from '../judgement.ts';
import { judge } from '../judgement.ts';
import { FIT } from '../mode-fit.ts';
import { parameter } from '../parameters/parameters.ts';
import { RULES } from '../rules/all-rules.ts';
import type { ChildRule } from '../rules/rule.ts';
import { isHarnessed, NOW } from '../rules/rule.ts';
import type { ArrangementReason } from './reasons.ts';

/** One way for one child to ride at one position, judged by the rules core alone, without the other children. */
export interface Option {
  readonly child: number;
  /** Index in the seats of the case; null for the belt alone or a seat not in hand. */
  readonly seat: number | null;
  readonly seatId: string | null;
  readonly positionId: string;
  readonly mode: AdvisedMode;
  readonly attachment: 'lower-anchors' | 'seat-belt';
  readonly tether: 'required' | 'not-used' | 'unknown';
  readonly reasons: readonly ArrangementReason[];
  /** Known to be under 13 and in row 1. */
  readonly front: boolean;
}

/** A child with a seat and a mode, before it is known where. */
export interface Riding {
  readonly facts: ChildFacts;
  readonly judgement: Judgement;
  readonly child: number;
  readonly seat: number | null;
  readonly mode: AdvisedMode;
  readonly fitUnknown: boolean;
}

const REAR_SEAT_UNDER = parameter('rear-seat-under-age');
const CAN_FIT = FIT.fits | FIT.unknown;

const urgencyOf = (code: FindingCode, facts: ChildFacts, judgement: Judgement) =>
  (RULES.get(code) as ChildRule).when(facts, judgement);

/** Findings about the mode itself. One that only says what could be better (plan ahead) has no code here. */
const MODE_CODES = [
  'mode-not-offered',
  'over-limit',
  'under-minimum',
  'forward-facing-too-soon',
  'booster-too-soon',
  'belt-too-soon',
] as const satisfies readonly FindingCode[];

/** Findings that keep a child from a position in this mode; their sources stand with the rules. */
export const PLACE_CODES = [
  'rear-facing-at-air-bag',
  'no-tether-anchor',
  'booster-lap-only',
  'side-facing-seat',
] as const satisfies readonly FindingCode[];
export type PlaceCode = (typeof PLACE_CODES)[number];

/** Today's observations that still hold with this seat and mode: the room above the head, and how the belt lies. */
const keptUse = (family: Case, childId: string, seatId: string | null, mode: AdvisedMode): Case['uses'][number] => {
  const today = family.uses.find((use) => use.childId === childId);
  const same = today?.mode === mode && (today.seatId ?? null) === seatId;
  return {
    childId,
    seatId,
    mode,
    ...(same && { headClearanceCm: today.headClearanceCm, beltFit: today.beltFit }),
  };
};

/** The child in a seat (null: the belt alone) and mode; null where the seat does not fit or the rules are against it. */
export const riding = (
  family: Case,
  child: number,
  seat: { readonly index: number | null; readonly seat: Seat } | null,
  mode: AdvisedMode,
): Riding | null => {
  if ((mode === 'seat-belt') !== (seat === null)) return null;
  const who = family.children[child] as Child;
  const seatId = seat?.seat.id ?? null;
  const seats = seat ? [seat.seat] : [];
  const facts = childFacts({ ...family, seats, uses: [keptUse(family, who.id, seatId, mode)] }, who);
  const judgement = judge(facts);
  if (mode !== 'seat-belt' && (judgement.fit[mode] & CAN_FIT) === 0) return null;
  if (MODE_CODES.some((code) => urgencyOf(code, facts, judgement) !== null)) return null;
  const fitUnknown = mode !== 'seat-belt' && judgement.fit[mode] !== FIT.fits;
  return { facts, judgement, child, seat: seat?.index ?? null, mode, fitUnknown };
};

/** The most protective mode that may be advised for the child with this seat, as its rank: 0 is rear-facing. */
export const advisedRank = ({ judgement }: Pick<Riding, 'judgement'>): number =>
  ADVISED_MODES.indexOf(modesIn(judgement.advice.modes)[0] ?? 'rear-facing');

/** The mode to be advised for a child without any seat in hand. */
export const modeWithoutSeat = (family: Case, child: number): AdvisedMode => {
  const who = family.children[child] as Child;
  const judgement = judge(childFacts({ ...family, seats: [], uses: [] }, who));
  return ADVISED_MODES[advisedRank({ judgement })] as AdvisedMode;
};

export type Verdict = { readonly blockedBy: readonly (PlaceCode | 'law-not-met')[] } | { readonly option: Option };

/** Judges a riding at a position: an option with what is to be known of it, or the findings that are against it. */
export const atPosition = (riding: Riding, position: Position, index: number): Verdict => {
  const { child, seat, mode } = riding;
  const facts: ChildFacts = {
    ...riding.facts,
    positionId: position.id,
    ...positionFacts(position),
    ownRow: index,
  };
  const judgement = judge(facts, riding.judgement, STEP.law | STEP.anchors);
  const against = PLACE_CODES.filter((code) => urgencyOf(code, facts, judgement) !== null);
  const law = urgencyOf('law-not-met', facts, judgement);
  if (law === NOW || against.length > 0) return { blockedBy: law === NOW ? ['law-not-met'] : against };
  const { row, belt, frontAirBag, facing, tetherAnchor, lowerAnchors } = facts;
  const harnessed = isHarnessed(mode);
  const byAnchors = harnessed && lowerAnchors === true && judgement.anchors.lowerAnchors === 'allowed';
  const { age } = judgement.body;
  const underAge = isBelow(age.max, REAR_SEAT_UNDER);
  const told: readonly (readonly [boolean, ArrangementReason])[] = [
    [row === 1 && underAge, 'child-in-front'],
    [row === 1 && frontAirBag === 'active', 'air-bag-active'],
    [law !== null, 'law-not-met'],
    [belt === 'inflatable', 'inflatable-belt'],
    [mode === 'seat-belt', 'check-belt-fit'],
    [riding.fitUnknown, 'fit-unknown'],
    [row === 1 && !underAge && isBelow(age.min, REAR_SEAT_UNDER), 'age-unknown'],
    [row === null && isBelow(age.min, REAR_SEAT_UNDER), 'row-unknown'],
    [mode === 'rear-facing' && frontAirBag === null && (row === null || row === 1), 'air-bag-unknown'],
    [belt === null && !byAnchors, 'belt-unknown'],
    [mode === 'forward-facing' && tetherAnchor === null, 'tether-anchor-unknown'],
    [facing === null, 'facing-unknown'],
  ];
  return {
    option: {
      child,
      seat,
      seatId: facts.seatId,
      positionId: position.id,
      mode,
      attachment: byAnchors ? 'lower-anchors' : 'seat-belt',
      tether: judgement.anchors.tether,
      reasons: told.flatMap(([holds, reason]) => (holds ? [reason] : [])),
      front: row === 1 && underAge,
    },
  };
};

/** Whether the child is known to need care on the way (the finding special-care). */
export const needsCare = (family: Case, child: Child): boolean => {
  const facts = childFacts(family, child);
  return urgencyOf('special-care', facts, judge(facts)) !== null;
};
