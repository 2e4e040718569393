import type { Assessment } from './assessment.ts';
import type { Case } from './case.ts';
import { FACT_KEYS, factPath } from './fact-keys.ts';
import type { ChildFacts } from './facts.ts';
import type { FindingCode } from './finding-codes.ts';
import type { Judgement } from './judgement.ts';
import type { LawFact } from './laws/facts.ts';
import { findJurisdiction } from './laws/jurisdictions.ts';
import { probePosition } from './position-probe.ts';
import type { Probe } from './probe.ts';
import { probeFact, probeLawFact, probeRow } from './probe.ts';
import { codeOrder } from './rules/all-rules.ts';
import type { SeatFacts } from './seat-facts.ts';
import { SEAT_FACT_KEYS, SEAT_FACT_SPECS } from './seat-facts.ts';
import { probeSeatFact } from './seat-probe.ts';

/** Facts that clauses of the jurisdiction turn on and no other part of a case states. */
export const lawFactsOf = ({ jurisdiction }: ChildFacts): ReadonlySet<LawFact> => {
  const clauses = (jurisdiction && findJurisdiction(jurisdiction)?.clauses) || [];
  return new Set(clauses.flatMap(({ onlyWhen, exceptWhen }) => [...onlyWhen, ...exceptWhen]));
};

/** All facts, absent or ranged, of which two completions lead to different results, with the findings they could raise. */
export const listUnknowns = (
  family: Case,
  children: readonly ChildFacts[],
  judgements: readonly Judgement[],
  seats: readonly SeatFacts[],
): Assessment['unknowns'] => {
  const found = new Map<string, Set<FindingCode>>();
  const add = (fact: string | null, { matters, couldRaise }: Probe) => {
    if (fact === null || !matters) return;
    const codes = found.get(fact);
    if (codes) for (const code of couldRaise) codes.add(code);
    else found.set(fact, new Set(couldRaise));
  };
  for (const [i, facts] of children.entries()) {
    const base = judgements[i] as Judgement;
    for (const key of FACT_KEYS) {
      const path = key === 'row' ? null : factPath(facts, key);
      if (path !== null) add(path, probeFact(facts, base, key));
    }
    add(`uses.${facts.childId}.positionId`, probePosition(family, facts, base));
    for (const fact of lawFactsOf(facts))
      add(`children.${facts.childId}.lawFacts.${fact}`, probeLawFact(facts, base, fact));
    for (const [place, { id }] of (family.vehicle?.positions ?? []).entries())
      add(`vehicle.positions.${id}.row`, probeRow(facts, base, place));
  }
  for (const facts of seats)
    for (const key of SEAT_FACT_KEYS)
      add(`seats.${facts.seatId}.${SEAT_FACT_SPECS[key].name}`, probeSeatFact(facts, key));
  if (family.needsInterpreter == null) found.set('needsInterpreter', new Set());
  return [...found].map(([fact, codes]) => ({
    fact,
    couldRaise: [...codes].sort((a, b) => codeOrder(a) - codeOrder(b)),
  }));
};
