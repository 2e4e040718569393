import type { FindingCode } from '#shared/finding-codes.ts';
import type { PreVisitSummary } from '#shared/summary.ts';

/** Findings that can be urgent before the next trip (rules.md, Findings, urgency N). Only the order of a list rests on it. */
const CAN_BE_URGENT: ReadonlySet<string> = new Set<FindingCode>([
  'unrestrained',
  'mode-not-offered',
  'seat-not-attached',
  'over-limit',
  'under-minimum',
  'forward-facing-too-soon',
  'booster-too-soon',
  'belt-too-soon',
  'seat-expired',
  'seat-crashed',
  'seat-not-certified',
  'rear-facing-at-air-bag',
  'booster-lap-only',
  'side-facing-seat',
  'law-not-met',
]);

/** The facts to verify: what could turn out dangerous first, then what would settle the advice, then the rest as given. */
export function verifyOrder({ assessment, verifyFirst }: PreVisitSummary): readonly string[] {
  const urgent = new Set(
    assessment.unknowns
      .filter(({ couldRaise }) => couldRaise.some((code) => CAN_BE_URGENT.has(code)))
      .map(({ fact }) => fact),
  );
  const needed = new Set(assessment.children.flatMap(({ advice }) => advice.needs));
  const rank = (fact: string) => (urgent.has(fact) ? 0 : needed.has(fact) ? 1 : 2);
  return verifyFirst.toSorted((a, b) => rank(a) - rank(b));
}
