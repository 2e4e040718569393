import { modesIn } from './advice.ts';
import type { Advice, Assessment } from './assessment.ts';
import { describeAnchors } from './attachment.ts';
import type { Case, RestraintMode } from './case.ts';
import { RESTRAINT_MODES } from './case.ts';
import type { ChildFacts } from './facts.ts';
import { childFindings, seatFindings, sortFindings } from './findings.ts';
import { forecastsFor } from './forecasts.ts';
import { referenceOver } from './growth/reference.ts';
import { zRange } from './growth/z-score.ts';
import { toMeasure } from './interval.ts';
import type { JudgedChild } from './judged-child.ts';
import { judgeChild } from './judged-child.ts';
import type { Judgement } from './judgement.ts';
import { describeFit, isOffered } from './mode-fit.ts';
import { adviceNeeds } from './needs.ts';
import { isRestraint } from './rules/rule.ts';
import { seatFacts } from './seat-facts.ts';
import type { ProbedFact } from './unknowns.ts';
import { listUnknowns, probeChild } from './unknowns.ts';
import { planVisit } from './visit.ts';

type ChildAssessment = Assessment['children'][number];

const describeAdvice = (facts: ChildFacts, judgement: Judgement, probed: readonly ProbedFact[]): Advice => {
  const candidates = modesIn(judgement.advice.modes);
  const mode = candidates[0] ?? 'rear-facing';
  const settled = candidates.length === 1;
  return {
    mode,
    certainty: settled ? 'settled' : 'provisional',
    candidates,
    needs: settled ? [] : adviceNeeds(facts, probed),
    seatChange: !modesIn(judgement.advice.kept).includes(mode),
    verify: mode === 'seat-belt' ? ['belt-fit'] : [],
  };
};

const growthOf = ({ age, sex }: ChildFacts, { body }: Judgement): ChildAssessment['growth'] => {
  if (age === null) return { weightZ: null, heightZ: null, reference: null };
  const weightZ = body.statedWeight && zRange('weight', body.statedWeight, age, sex);
  const heightZ = body.statedHeight && zRange('height', body.statedHeight, age, sex);
  return {
    weightZ: weightZ && toMeasure(weightZ),
    heightZ: heightZ && toMeasure(heightZ),
    reference: referenceOver(age),
  };
};

/** The mode in use, and the advised one where the seat in hand offers it. */
const forecastModes = (facts: ChildFacts, advised: Advice['mode']): RestraintMode[] =>
  RESTRAINT_MODES.filter(
    (mode) => isOffered(facts, mode) !== false && (mode === facts.mode || (mode === advised && isRestraint(advised))),
  );

const assessChild = ({ facts, judgement }: JudgedChild, probed: readonly ProbedFact[]): ChildAssessment => {
  const { body, fit, law } = judgement;
  const advice = describeAdvice(facts, judgement, probed);
  return {
    childId: facts.childId,
    advice,
    modes: {
      'rear-facing': describeFit(facts, 'rear-facing', fit['rear-facing'], body),
      'forward-facing': describeFit(facts, 'forward-facing', fit['forward-facing'], body),
      booster: describeFit(facts, 'booster', fit.booster, body),
    },
    growth: growthOf(facts, judgement),
    forecast: forecastsFor(facts, body, forecastModes(facts, advice.mode)),
    law: { status: law.status, clauses: [...law.clauses] },
  };
};

/**
 * Decides everything about a case that `parseCase` has accepted: modes, advice, attachment, law, findings, what is still
 * unknown and the visit. Pure: the day is `asOf`. Every finding holds for every completion of ranged and absent facts.
 */
export const assess = (family: Case): Assessment => {
  const children = family.children.map((child) => judgeChild(family, child));
  const seats = family.seats.map((seat) => seatFacts(seat, family.asOf));
  const probed = children.map((child) => probeChild(family, child));
  const assessed = children.map((child, i) => assessChild(child, probed[i] ?? []));
  const findings = sortFindings([...children.map(childFindings), ...seats.map(seatFindings)]);
  return {
    children: assessed,
    uses: family.uses.flatMap(({ childId }) => {
      const user = children.find(({ facts }) => facts.childId === childId);
      return user ? [describeAnchors(user.facts, user.judgement.anchors)] : [];
    }),
    findings,
    unknowns: listUnknowns(family, probed.flat(), seats),
    visit: planVisit(
      findings,
      assessed.map(({ advice }) => advice),
      family.needsInterpreter === true,
    ),
  };
};
