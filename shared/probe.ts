import { modesIn } from './advice.ts';
import type { Urgency } from './assessment.ts';
import type { Anchors } from './attachment.ts';
import { criticalValues } from './critical-values.ts';
import type { FactKey } from './fact-keys.ts';
import { FACT_KEYS, FACT_SPECS, limitParts, readFact, STEP, withLaterSteps, writeFact } from './fact-keys.ts';
import type { FindingCode } from './finding-codes.ts';
import type { JudgedChild } from './judged-child.ts';
import type { Judgement } from './judgement.ts';
import { judge } from './judgement.ts';
import { lawFactsShown } from './law-duty.ts';
import type { LawFact } from './laws/facts.ts';
import type { LawJudgement } from './laws/judge.ts';
import { CHILD_RULES } from './rules/all-rules.ts';
import type { ChildRule } from './rules/rule.ts';

/** What trying all completions of one fact showed. */
export interface Probe {
  /** Two completions differ in advice, findings, attachment or law. */
  readonly matters: boolean;
  /** Findings, or higher urgencies of them, that some completion raises and the case as it stands does not. */
  readonly couldRaise: ReadonlySet<FindingCode>;
  /** Some completion leaves other candidates for the advice than the case as it stands. */
  readonly narrowsAdvice: boolean;
}

const NONE: ReadonlySet<FindingCode> = new Set();
export const NOTHING: Probe = { matters: false, couldRaise: NONE, narrowsAdvice: false };

/** Places in CHILD_RULES of those whose answer a change of these facts, or of these steps, can move. */
export const rulesFor = (keys: readonly FactKey[], steps: number): readonly number[] =>
  CHILD_RULES.flatMap((rule, i) =>
    keys.some((key) => rule.reads.includes(key)) || ((rule.steps ?? 0) & steps) !== 0 ? [i] : [],
  );

const RULES_OF_FACT = new Map(FACT_KEYS.map((key) => [key, rulesFor([key], withLaterSteps(FACT_SPECS[key].feeds))]));

const sameAnchors = (a: Anchors, b: Anchors): boolean =>
  a === b ||
  (a.lowerAnchors === b.lowerAnchors &&
    a.seatBelt === b.seatBelt &&
    a.tether === b.tether &&
    a.limit?.min === b.limit?.min &&
    a.limit?.max === b.limit?.max);

const sameLaw = (a: LawJudgement, b: LawJudgement): boolean =>
  a === b ||
  (a.status === b.status &&
    a.clauses.length === b.clauses.length &&
    a.clauses.every((clause, i) => {
      const other = b.clauses[i];
      return (
        clause.id === other?.id &&
        clause.state === other.state &&
        clause.satisfied === other.satisfied &&
        clause.unless.join() === other.unless.join()
      );
    }));

const changesSeat = ({ advice }: Judgement): boolean => {
  const most = modesIn(advice.modes)[0];
  return most !== undefined && !modesIn(advice.kept).includes(most);
};

/** The same advice (but for `needs`, which only lists what is open), attachment and law. */
const sameJudgement = (a: Judgement, b: Judgement): boolean =>
  a.advice.modes === b.advice.modes &&
  changesSeat(a) === changesSeat(b) &&
  sameAnchors(a.anchors, b.anchors) &&
  sameLaw(a.law, b.law);

/** How a value is tried in place; a whole probe ends with `restore`. */
interface Trial {
  readonly values: readonly unknown[];
  readonly apply: (value: unknown) => void;
  readonly restore: () => void;
  /** Steps that the fact feeds, and the rules it can move, by their place in CHILD_RULES. */
  readonly feeds: number;
  readonly rules: readonly number[];
  /** The case as it stands is one of the completions. */
  readonly asItStands?: boolean;
  /** No rule reads the fact but through the judgement. */
  readonly onlyJudged?: boolean;
}

interface Outcome {
  readonly judgement: Judgement;
  /** Of the rules of the trial. */
  readonly urgencies: readonly (Urgency | null)[];
}

const sameOutcome = (a: Outcome, b: Outcome): boolean =>
  a.urgencies.every((urgency, i) => urgency === b.urgencies[i]) && sameJudgement(a.judgement, b.judgement);

const outcomeNow = ({ facts, judgement: base }: JudgedChild, trial: Trial, now: Outcome): Outcome => {
  const judgement = trial.feeds === 0 ? base : judge(facts, base, trial.feeds);
  if (trial.onlyJudged && judgement === base) return now;
  return { judgement, urgencies: trial.rules.map((rule) => (CHILD_RULES[rule] as ChildRule).when(facts, judgement)) };
};

/** Tries one value after the other and compares what they lead to; with `once` it ends at the first difference. */
export const tryAll = (child: JudgedChild, trial: Trial, once: boolean): Probe => {
  const { values, apply, restore, feeds, rules, asItStands } = trial;
  if (values.length === 0 || (rules.length === 0 && feeds === 0)) return NOTHING;
  const now: Outcome = { judgement: child.judgement, urgencies: rules.map((rule) => child.urgencies[rule] ?? null) };
  let couldRaise: Set<FindingCode> | null = null;
  let first: Outcome | null = asItStands ? now : null;
  let matters = false;
  let narrowsAdvice = false;
  for (const value of values) {
    apply(value);
    const outcome = outcomeNow(child, trial, now);
    for (let i = 0; i < rules.length; i++) {
      const urgency = outcome.urgencies[i] ?? null;
      if (urgency === null || urgency === now.urgencies[i]) continue;
      couldRaise ??= new Set();
      couldRaise.add((CHILD_RULES[rules[i] as number] as ChildRule).code);
    }
    narrowsAdvice ||= outcome.judgement.advice.modes !== child.judgement.advice.modes;
    first ??= outcome;
    matters ||= first !== outcome && !sameOutcome(first, outcome);
    if (matters && once) break;
  }
  restore();
  return { matters, couldRaise: couldRaise ?? NONE, narrowsAdvice };
};

/** Tries every completion of one fact about a child. Leaves the facts as they were. */
export const probeFact = (child: JudgedChild, key: FactKey, once = false): Probe => {
  const { facts, judgement } = child;
  const values = criticalValues(facts, judgement, key);
  if (values.length === 0) return NOTHING;
  const mode = limitParts(key)?.mode;
  const limits = mode && facts.limits[mode];
  const before = readFact(facts, key);
  return tryAll(
    child,
    {
      values,
      apply: (value) => writeFact(facts, key, value),
      restore: () => {
        if (mode) facts.limits[mode] = limits ?? null;
        else writeFact(facts, key, before);
      },
      feeds: FACT_SPECS[key].feeds,
      rules: RULES_OF_FACT.get(key) ?? [],
      // Rules hold a child against the label of the mode in use alone.
      onlyJudged: mode !== undefined && mode !== facts.mode,
    },
    once,
  );
};

const ROW_RULES = rulesFor(['row'], withLaterSteps(STEP.law));

/** Tries the rows that the position at this place in the vehicle's list can be in. */
export const probeRow = (child: JudgedChild, place: number, once = false): Probe => {
  const { facts } = child;
  if (facts.rows[place] !== null) return NOTHING;
  if (place === facts.ownRow) return probeFact(child, 'row', once);
  const { rows } = facts;
  return tryAll(
    child,
    {
      values: FACT_SPECS.row.values as readonly number[],
      apply: (row) => {
        facts.rows = rows.with(place, row as number);
      },
      restore: () => {
        facts.rows = rows;
      },
      feeds: STEP.law,
      rules: ROW_RULES,
    },
    once,
  );
};

const LAW_RULES = rulesFor([], withLaterSteps(STEP.law));

/** Tries an exception of the law: left unanswered, and known to hold. */
export const probeLawFact = (child: JudgedChild, fact: LawFact, once = false): Probe => {
  const { facts, judgement } = child;
  if (lawFactsShown(facts, judgement.fit)[fact] !== undefined) return NOTHING;
  const { lawFacts } = facts;
  return tryAll(
    child,
    {
      asItStands: true,
      values: [[...lawFacts, fact]],
      apply: (value) => {
        facts.lawFacts = value as readonly LawFact[];
      },
      restore: () => {
        facts.lawFacts = lawFacts;
      },
      feeds: STEP.law,
      rules: LAW_RULES,
    },
    once,
  );
};
