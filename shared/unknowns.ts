import type { Assessment } from './assessment.ts';
import type { Case } from './case.ts';
import type { FactKey } from './fact-keys.ts';
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

/** An open fact of which two completions lead to different results. */
export interface ProbedFact {
  readonly path: string;
  /** Null for a fact that has no key: an exception of the law, a position and its row. */
  readonly key: FactKey | null;
  readonly probe: Probe;
}

/** All facts open about one child, its use, seat, position and vehicle that still matter. */
export const probeChild = (family: Case, child: JudgedChild): readonly ProbedFact[] => {
  const { facts } = child;
  const found: ProbedFact[] = [];
  const add = (path: () => string | null, probe: Probe, key: FactKey | null = null) => {
    const fact = probe.matters ? path() : null;
    if (fact !== null) found.push({ path: fact, key, probe });
  };
  for (const key of FACT_KEYS) if (key !== 'row') add(() => factPath(facts, key), probeFact(child, key), key);
  add(() => `uses.${facts.childId}.positionId`, probePosition(family, child));
  // Facts that clauses of the jurisdiction turn on and no other part of a case states.
  for (const fact of LAW_FACTS_OF.get(facts.jurisdiction ?? '') ?? [])
    add(() => `children.${facts.childId}.lawFacts.${fact}`, probeLawFact(child, fact));
  for (const [place, { id }] of (family.vehicle?.positions ?? []).entries())
    add(() => `vehicle.positions.${id}.row`, probeRow(child, place));
  return found;
};

/** All facts, absent or ranged, of which two completions lead to different results, with the findings they could raise. */
export const listUnknowns = (
  family: Case,
  probed: readonly ProbedFact[],
  seats: readonly SeatFacts[],
): Assessment['unknowns'] => {
  const found = new Map<string, Set<FindingCode>>();
  const add = (fact: string, { couldRaise }: Probe) => {
    const codes = found.get(fact);
    if (codes) for (const code of couldRaise) codes.add(code);
    else found.set(fact, new Set(couldRaise));
  };
  for (const { path, probe } of probed) add(path, probe);
  for (const facts of seats)
    for (const key of SEAT_FACT_KEYS) {
      const probe = probeSeatFact(facts, key);
      if (probe.matters) add(`seats.${facts.seatId}.${SEAT_FACT_SPECS[key].name}`, probe);
    }
  if (family.needsInterpreter == null) found.set('needsInterpreter', new Set());
  return [...found].map(([fact, codes]) => ({
    fact,
    couldRaise: [...codes].sort((a, b) => codeOrder(a) - codeOrder(b)),
  }));
};
