import { modesIn } from './advice.ts';
import type { Finding } from './assessment.ts';
import type { AdvisedMode, Case } from './case.ts';
import { childFindings, seatFindings, sortFindings } from './findings.ts';
import { judgeChild } from './judged-child.ts';
import { seatFacts } from './seat-facts.ts';

/** What is decided about a case, without what it rests on and what is still unknown. */
export interface Decision {
  readonly findings: readonly Finding[];
  /** The modes that may be advised for each child, and those among them that the seat in hand allows. */
  readonly advice: readonly {
    readonly childId: string;
    readonly candidates: readonly AdvisedMode[];
    readonly kept: readonly AdvisedMode[];
  }[];
}

/** The findings and candidates of `assess`, at a small part of its cost where much is unknown. */
export const decide = (family: Case): Decision => {
  const children = family.children.map((child) => judgeChild(family, child));
  const seats = family.seats.map((seat) => seatFacts(seat, family.asOf));
  return {
    findings: sortFindings([...children.map(childFindings), ...seats.map(seatFindings)]),
    advice: children.map(({ facts, judgement: { advice } }) => ({
      childId: facts.childId,
      candidates: modesIn(advice.modes),
      kept: modesIn(advice.kept),
    })),
  };
};
