import type { FindingCode } from '#shared/finding-codes.ts';
import type { SourceId } from '#shared/parameters/sources.ts';
import { SEAT_RULES } from '#shared/rules/all-rules.ts';
import { expiryOf } from '#shared/rules/seat-condition.ts';
import type { SeatFacts } from '#shared/seat-facts.ts';
import type { Bounds } from './odds.ts';
import { NEVER, PERHAPS, SURELY } from './odds.ts';

/** Seat findings that end a seat's use, and those after which some seats are replaced and nobody says how often. */
const ENDS = ['seat-expired', 'seat-crashed', 'seat-not-certified'] as const satisfies readonly FindingCode[];
const MAY_END = [
  'seat-crash-unclear',
  'seat-recall-open',
  'seat-parts-missing',
  'seat-history-unknown',
  'seat-label-missing',
] as const satisfies readonly FindingCode[];

export type ConditionReason = (typeof ENDS)[number] | (typeof MAY_END)[number] | 'seat-unverified';

/** Whether the seat itself, whoever rides in it, has to be replaced. */
export interface SeatCondition {
  readonly replaced: Bounds;
  readonly reason: ConditionReason | null;
}

const raised = (facts: SeatFacts, code: FindingCode): boolean =>
  SEAT_RULES.find((rule) => rule.code === code)?.when(facts) != null;

/** What could end the use of the seat and is not known: its expiry, whether it was in a crash, whether it is certified. */
const unverified = (facts: SeatFacts): boolean => {
  const expiry = expiryOf(facts);
  return expiry === null || facts.asOf > expiry.earliest || facts.crashHappened === null || facts.certified === null;
};

export function seatCondition(facts: SeatFacts): SeatCondition {
  const ended = ENDS.find((code) => raised(facts, code));
  if (ended) return { replaced: SURELY, reason: ended };
  const perhaps = MAY_END.find((code) => raised(facts, code)) ?? (unverified(facts) ? 'seat-unverified' : undefined);
  return perhaps ? { replaced: PERHAPS, reason: perhaps } : { replaced: NEVER, reason: null };
}

export const conditionSources = (reason: ConditionReason): readonly SourceId[] =>
  reason === 'seat-unverified' ? ['S-134'] : (SEAT_RULES.find(({ code }) => code === reason)?.sources ?? []);
