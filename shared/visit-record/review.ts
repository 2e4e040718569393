import { assess } from '../assess.ts';
import type { Assessment, Finding } from '../assessment.ts';
import type { Case } from '../case.ts';
import { ageOf } from '../facts.ts';
import { plausibility } from '../growth/plausible.ts';
import { toInterval } from '../interval.ts';
import type { Verdict } from './entries.ts';
import { findingSlot, latestOf, type Slots } from './fold.ts';
import { caseAsFound, caseAsLeft } from './recorded-case.ts';
import { useOf } from './set-fact.ts';

export interface Judged {
  readonly case: Case;
  readonly assessment: Assessment;
}

/** How a finding stands: `open` still holds as left; `corrected`: cannot hold any more; `to-see`: a fact is missing to tell. */
export type FindingState = 'open' | 'corrected' | 'to-see' | 'not-found';

export interface ReviewedFinding {
  readonly finding: Finding;
  /** What a technician said of it; null where nobody did. */
  readonly verdict: Verdict | null;
  readonly state: FindingState;
}

export interface Review {
  readonly found: Judged;
  readonly left: Judged;
  /** Of what was reported, found or left, the most urgent first. */
  readonly findings: readonly ReviewedFinding[];
  /** Measured or reported sizes that no child of the age has, by the growth tables, and that nobody has confirmed. */
  readonly implausible: readonly { readonly childId: string; readonly measure: 'weight' | 'height' }[];
}

const judged = (family: Case): Judged => ({ case: family, assessment: assess(family) });

const sameMatter = (a: Finding, b: Finding): boolean =>
  a.code === b.code && a.childId === b.childId && (a.childId !== null || a.seatId === b.seatId);

/** Whether a fact that is not known could still raise the finding for this child or seat. */
function couldStillHold({ code, childId, seatId }: Finding, { case: family, assessment }: Judged): boolean {
  const use = childId === null ? null : useOf(family, childId);
  const starts =
    childId === null
      ? [`seats.${seatId}.`]
      : [
          `children.${childId}.`,
          `uses.${childId}.`,
          ...(use?.seatId != null ? [`seats.${use.seatId}.`] : []),
          ...(use?.positionId != null ? [`vehicle.positions.${use.positionId}.`] : []),
        ];
  return assessment.unknowns.some(
    ({ fact, couldRaise }) => couldRaise.includes(code) && starts.some((start) => fact.startsWith(start)),
  );
}

function stateOf(finding: Finding, verdict: Verdict | null, left: Judged): FindingState {
  if (verdict === 'not-found' || verdict === 'corrected') return verdict;
  if (left.assessment.findings.some((one) => sameMatter(one, finding))) return 'open';
  return couldStillHold(finding, left) ? 'to-see' : 'corrected';
}

/** Everything that follows from what was reported and what was recorded, judged anew by the rules. `day` is the visit's. */
export function reviewVisit(reported: Case, slots: Slots, day: string): Review {
  const [before, found, left] = [
    judged(reported),
    judged(caseAsFound(reported, slots, day)),
    judged(caseAsLeft(reported, slots, day)),
  ];
  const verdicts = new Map(latestOf(slots, 'finding').map(({ change }) => [findingSlot(change), change.verdict]));
  const all = [found, left, before].flatMap(({ assessment }) => assessment.findings);
  const unlike = all.filter((one, i) => all.findIndex((other) => sameMatter(other, one)) === i);
  const foundNow = (finding: Finding) => found.assessment.findings.some((one) => sameMatter(one, finding));
  const findings = unlike.map((finding): ReviewedFinding => {
    const verdict = verdicts.get(findingSlot(finding)) ?? null;
    const state = stateOf(finding, verdict, left);
    // What was only reported and is not so at the kerb was not there to be corrected.
    return {
      finding,
      verdict,
      state: state === 'corrected' && verdict === null && !foundNow(finding) ? 'not-found' : state,
    };
  });
  const implausible = found.case.children.flatMap((child) => {
    if (child.sizeConfirmed === true) return [];
    const age = ageOf(child, found.case.asOf);
    return (['weight', 'height'] as const).flatMap((measure) => {
      const value = toInterval(measure === 'weight' ? child.weightKg : child.heightCm);
      const odd = value !== null && plausibility(measure, value, age, child.sex ?? null) === 'false';
      return odd ? [{ childId: child.id, measure }] : [];
    });
  });
  return { found, left, findings, implausible };
}
