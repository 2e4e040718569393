import type { Case } from './case.ts';
import { FACT_KEYS, factPath } from './fact-keys.ts';
import type { JudgedChild } from './judged-child.ts';
import { judgeChild } from './judged-child.ts';
import { LAW_FACTS } from './laws/facts.ts';
import { probePosition } from './position-probe.ts';
import { probeFact, probeLawFact, probeRow } from './probe.ts';
import { SEAT_FACT_KEYS, SEAT_FACT_SPECS, seatFacts } from './seat-facts.ts';
import { probeSeatFact } from './seat-probe.ts';

const matterForChild = (family: Case, child: JudgedChild, fact: string): boolean => {
  const { facts } = child;
  if (fact === `uses.${facts.childId}.positionId`) return probePosition(family, child, true).matters;
  const lawPrefix = `children.${facts.childId}.lawFacts.`;
  if (fact.startsWith(lawPrefix)) {
    const name = LAW_FACTS.find((each) => each === fact.slice(lawPrefix.length));
    return name !== undefined && probeLawFact(child, name, true).matters;
  }
  const place = (family.vehicle?.positions ?? []).findIndex(({ id }) => fact === `vehicle.positions.${id}.row`);
  if (place >= 0) return probeRow(child, place, true).matters;
  const isAge = fact === `children.${facts.childId}.ageMonths` || fact === `children.${facts.childId}.birthDate`;
  const key = isAge ? 'age' : FACT_KEYS.find((each) => factPath(facts, each) === fact);
  return key !== undefined && probeFact(child, key, true).matters;
};

/**
 * Whether a question is worth asking: two completions of this one fact, all else known, ranged or absent as it is in the
 * case, lead to a different advice (mode, certainty, candidates, seat change), finding (code, urgency, ids), attachment,
 * law or visit. False for a fact that is known.
 *
 * Facts are named by path: `children.c1.weightKg`, `seats.s1.crash.drivable`, `vehicle.positions.p2L.belt`,
 * `uses.c1.harness.straps` (a use is named by its child), `children.c1.lawFacts.medical`. A child without a use, a seat
 * without a crash or a mode without limits is completed as if that part were there with all else unknown; the limits of
 * a mode the seat is known not to have never matter, nor does a fact of a seat, position or child that the case does not
 * list. A use without a seat is a use in none, so its `seatId` is no open fact. Age and birth date are one fact, as open
 * as the one that decides.
 */
export const stillMatters = (family: Case, fact: string): boolean => {
  if (fact === 'needsInterpreter') return family.needsInterpreter == null;
  for (const seat of family.seats) {
    const key = SEAT_FACT_KEYS.find((each) => fact === `seats.${seat.id}.${SEAT_FACT_SPECS[each].name}`);
    if (key !== undefined) return probeSeatFact(seatFacts(seat, family.asOf), key).matters;
  }
  const owner = /^(children|uses)\./.test(fact);
  return family.children.some((child) => {
    if (owner && !fact.startsWith(`children.${child.id}.`) && !fact.startsWith(`uses.${child.id}.`)) return false;
    return matterForChild(family, judgeChild(family, child), fact);
  });
};
