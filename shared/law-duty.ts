import type { FitBits } from './advice.ts';
import type { AdvisedMode, RestraintMode } from './case.ts';
import type { ChildFacts } from './facts.ts';
import type { LawFact } from './laws/facts.ts';
import type { LawJudgement } from './laws/judge.ts';
import { FIT } from './mode-fit.ts';

type Answers = Partial<Record<LawFact, boolean>>;

const OUTGROWN: readonly { fact: LawFact; mode: RestraintMode }[] = [
  { fact: 'outgrown-rear-facing', mode: 'rear-facing' },
  { fact: 'outgrown-harness', mode: 'forward-facing' },
  { fact: 'outgrown-booster', mode: 'booster' },
];

const MAYBE_OUTGROWN = FIT.outgrown | FIT.unknown | FIT.notOffered;

/** Exceptions of the law answered by the case: those it shows, and those it says hold, whose word counts. */
export const lawFactsShown = (facts: ChildFacts, fit: FitBits): Answers => {
  const answers: Answers = {};
  for (const { fact, mode } of OUTGROWN) {
    if (fit[mode] === FIT.outgrown) answers[fact] = true;
    else if ((fit[mode] & MAYBE_OUTGROWN) === 0) answers[fact] = false;
  }
  if (facts.rows.some((row) => row !== null && row > 1)) answers['no-rear-seat'] = false;
  else if (facts.rows.length > 0 && facts.rows.every((row) => row === 1)) answers['no-rear-seat'] = true;
  if (facts.frontAirBag !== null) answers['front-airbag-active'] = facts.frontAirBag === 'active';
  for (const fact of facts.lawFacts) answers[fact] = true;
  return answers;
};

const LEAST_MODE: Readonly<Record<string, AdvisedMode>> = {
  'rear-facing': 'rear-facing',
  harness: 'forward-facing',
  'child-restraint': 'booster',
  'booster-or-restraint': 'booster',
};

/** Modes that a clause demands which certainly applies with no exception unanswered. */
export const lawDemands = ({ demands, clauses }: LawJudgement): ReadonlySet<AdvisedMode> => {
  const modes = new Set<AdvisedMode>();
  if (demands !== null && demands !== 'seat-belt') modes.add(demands);
  for (const { state, requires } of clauses) {
    const mode = LEAST_MODE[requires];
    if (state === 'applies' && mode !== undefined) modes.add(mode);
  }
  return modes;
};
