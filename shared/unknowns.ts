import type { Assessment } from './assessment.ts';
import type { Case } from './case.ts';
import { FACT_KEYS, factPath } from './fact-keys.ts';
import type { FindingCode } from './finding-codes.ts';
import type { JudgedChild } from './judged-child.ts';
import type { LawFact } from './laws/facts.ts';
import { findJurisdiction, JURISDICTION_CODES } from './laws/jurisdictions.ts';
import { probePosition } from './position-probe.ts';
import type { Probe } from './probe.ts';
import { probeFact, probeLawFact, probeRow } from './probe.ts';
import { codeOrder } from './rules/all-rules.ts';
import type { SeatFacts } from './seat-facts.ts';
import { SEAT_FACT_KEYS, SEAT_FACT_SPECS } from './seat-facts.ts';
import { probeSeatFact } from './seat-probe.ts';

const LAW_FACTS_OF: ReadonlyMap<string, readonly LawFact[]> = new Map(
  JURISDICTION_CODES.map((code) => {
    const clauses = findJurisdiction(code)?.clauses ?? [];
    return [code, [...new Set(clauses.flatMap(({ onlyWhen, exceptWhen }) => [...onlyWhen, ...exceptWhen]))]];
  }),
);

type Add = (fact: () => string | null, probe: Probe) => void;

const addForChild = (family: Case, child: JudgedChild, add: Add): void => {
  const { facts } = child;
  const positions = family.vehicle?.positions ?? [];
  for (const key of FACT_KEYS) if (key !== 'row') add(() => factPath(facts, key), probeFact(child, key));
  add(() => `uses.${facts.childId}.positionId`, probePosition(family, child));
  // Facts that clauses of the jurisdiction turn on and no other part of a case states.
  for (const fact of LAW_FACTS_OF.get(facts.jurisdiction ?? '') ?? [])
    add(() => `children.${facts.childId}.lawFacts.${fact}`, probeLawFact(child, fact));
  for (const [place, { id }] of positions.entries()) add(() => `vehicle.positions.${id}.row`, probeRow(child, place));
};

/** All facts, absent or ranged, of which two completions lead to different results, with the findings they could raise. */
export const listUnknowns = (
  family: Case,
  children: readonly JudgedChild[],
  seats: readonly SeatFacts[],
): Assessment['unknowns'] => {
  const found = new Map<string, Set<FindingCode>>();
  const add: Add = (path, { matters, couldRaise }) => {
    const fact = matters ? path() : null;
    if (fact === null) return;
    const codes = found.get(fact);
    if (codes) for (const code of couldRaise) codes.add(code);
    else found.set(fact, new Set(couldRaise));
  };
  for (const child of children) addForChild(family, child, add);
  for (const facts of seats)
    for (const key of SEAT_FACT_KEYS)
      add(() => `seats.${facts.seatId}.${SEAT_FACT_SPECS[key].name}`, probeSeatFact(facts, key));
  if (family.needsInterpreter == null) found.set('needsInterpreter', new Set());
  return [...found].map(([fact, codes]) => ({
    fact,
    couldRaise: [...codes].sort((a, b) => codeOrder(a) - codeOrder(b)),
  }));
};
