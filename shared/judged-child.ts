import type { Urgency } from './assessment.ts';
import type { Case, Child } from './case.ts';
import type { ChildFacts } from './facts.ts';
import { childFacts } from './facts.ts';
import type { Judgement } from './judgement.ts';
import { judge } from './judgement.ts';
import { CHILD_RULES } from './rules/all-rules.ts';

/** One child of a case, judged: the facts, what follows from them, and the urgency of each of CHILD_RULES. */
export interface JudgedChild {
  readonly facts: ChildFacts;
  readonly judgement: Judgement;
  readonly urgencies: readonly (Urgency | null)[];
}

export const judgeChild = (family: Case, child: Child): JudgedChild => {
  const facts = childFacts(family, child);
  const judgement = judge(facts);
  return { facts, judgement, urgencies: CHILD_RULES.map((rule) => rule.when(facts, judgement)) };
};
