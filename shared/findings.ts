import type { Finding, Urgency } from './assessment.ts';
import { URGENCIES } from './assessment.ts';
import type { FactKey } from './fact-keys.ts';
import { factPath, readFact } from './fact-keys.ts';
import type { ChildFacts } from './facts.ts';
import type { JudgedChild } from './judged-child.ts';
import type { Judgement } from './judgement.ts';
import { CHILD_RULES, codeOrder, SEAT_RULES } from './rules/all-rules.ts';
import type { ChildRule } from './rules/rule.ts';
import type { SeatFacts } from './seat-facts.ts';
import { SEAT_FACT_SPECS } from './seat-facts.ts';

const idsOf = ({ subject }: ChildRule, { childId, seatId, positionId }: ChildFacts) => ({
  childId,
  seatId: subject === 'child' ? null : seatId,
  positionId: subject === 'position' ? positionId : null,
});

/** A size that does not count (absent, or implausible and not confirmed) is judged by the age. */
const countedFact = (key: FactKey, { body }: Judgement): FactKey =>
  (key === 'weight' && body.statedWeight === null) || (key === 'height' && body.statedHeight === null) ? 'age' : key;

const pathsOf = (rule: ChildRule, facts: ChildFacts, judgement: Judgement): string[] => {
  const paths = new Set<string>();
  for (const named of rule.because?.(facts, judgement) ?? rule.reads) {
    const key = rule.code === 'size-implausible' ? named : countedFact(named, judgement);
    const path = readFact(facts, key) == null ? null : factPath(facts, key);
    if (path !== null) paths.add(path);
  }
  return [...paths];
};

const finding = (rule: ChildRule, facts: ChildFacts, judgement: Judgement, urgency: Urgency): Finding => ({
  code: rule.code,
  urgency,
  ...idsOf(rule, facts),
  facts: pathsOf(rule, facts, judgement),
  sources: [...rule.sources],
});

/** The findings about one child, in the order of the table. */
export const childFindings = ({ facts, judgement, urgencies }: JudgedChild): Finding[] => {
  const found: Finding[] = [];
  for (const [i, rule] of CHILD_RULES.entries()) {
    const urgency = urgencies[i];
    if (urgency != null) found.push(finding(rule, facts, judgement, urgency));
  }
  return found;
};

/** The findings about one seat, in the order of the table. */
export const seatFindings = (facts: SeatFacts): Finding[] => {
  const found: Finding[] = [];
  for (const { code, sources, reads, when } of SEAT_RULES) {
    const urgency = when(facts);
    if (urgency === null) continue;
    const paths = reads.filter((key) => facts[key] !== null).map((key) => SEAT_FACT_SPECS[key].name);
    found.push({
      code,
      urgency,
      childId: null,
      seatId: facts.seatId,
      positionId: null,
      facts: paths.map((name) => `seats.${facts.seatId}.${name}`),
      sources: [...sources],
    });
  }
  return found;
};

/** By urgency; then children in the order of the case, then seats; then the order of the table. */
export const sortFindings = (groups: readonly (readonly Finding[])[]): Finding[] =>
  groups
    .flatMap((group, place) => group.map((each) => ({ each, place })))
    .sort(
      (a, b) =>
        URGENCIES.indexOf(a.each.urgency) - URGENCIES.indexOf(b.each.urgency) ||
        a.place - b.place ||
        codeOrder(a.each.code) - codeOrder(b.each.code),
    )
    .map(({ each }) => each);
