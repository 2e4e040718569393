import { type Case, parseCase } from '#shared/case.ts';
import { decide } from '#shared/decide.ts';
import { ageOf } from '#shared/facts.ts';
import { stillMatters } from '#shared/still-matters.ts';
import { assembleCase, type Facts, factOf } from './facts.ts';
import type { Answer, IntakeContext } from './intake-context.ts';
import type { View } from './questions/question.ts';

/** Facts of the conversation itself, which are no part of the case. */
const OWN = 'conversation.';

/** All facts said so far; what was said last counts. */
export const factsOf = (answers: readonly Answer[]): Facts => Object.assign({}, ...answers.map(({ facts }) => facts));

const ofTheCase = (facts: Facts): Facts =>
  Object.fromEntries(Object.entries(facts).filter(([path]) => !path.startsWith(OWN)));

/** The case as the answers tell it, on the day of the latest message. */
export function caseOf(context: Pick<IntakeContext, 'answers' | 'today'>): Case {
  return assembleCase(ofTheCase(factsOf(context.answers)), context.today);
}

/** Whether these answers, added to what is known, still make a case the rules core accepts. */
export const makesCase = (context: IntakeContext, added: readonly Answer[]) =>
  parseCase(caseOf({ today: context.today, answers: [...context.answers, ...added] }));

/** What is decided about a family, as one text to compare: findings and advice, without what they rest on. */
const decision = (theCase: Case): string => {
  const { findings, advice } = decide(theCase);
  return JSON.stringify([
    findings.map(({ code, urgency, childId, seatId, positionId }) => [code, urgency, childId, seatId, positionId]),
    advice.map(({ candidates, kept }) => [candidates, kept.includes(candidates[0] ?? 'rear-facing')]),
  ]);
};

/** Views by the answers they show: a turn looks at the same answers many times. */
const VIEWS = new WeakMap<readonly Answer[], View>();

/** The family as the questions look at it. */
export function viewOf(context: Pick<IntakeContext, 'answers' | 'today'>): View {
  const known = VIEWS.get(context.answers);
  if (known?.today === context.today) return known;
  const view = look(context);
  VIEWS.set(context.answers, view);
  return view;
}

function look(context: Pick<IntakeContext, 'answers' | 'today'>): View {
  const theCase = caseOf(context);
  const own = factsOf(context.answers);
  const declined = new Set(context.answers.flatMap((answer) => answer.declined));
  const weighed = new Map<string, boolean>();
  const children = theCase.children.map(({ id }) => id).sort();
  const known = (path: string): boolean => {
    const value = path.startsWith(OWN) ? own[path] : factOf(theCase, path);
    // Of a limit null says that the label states none; anywhere else it says unknown.
    return path.includes('.modes.') ? value !== undefined : value != null;
  };
  return {
    case: theCase,
    today: context.today,
    children: children.length > 0 ? children : ['c1'],
    answered: (key) => {
      const mine = context.answers.filter(({ question }) => question === key);
      return { times: mine.length, unsure: mine.some(({ unsure }) => unsure) };
    },
    known,
    matters: (path) => {
      if (declined.has(path)) return false;
      const before = weighed.get(path);
      if (before !== undefined) return before;
      const matters = stillMatters(theCase, path);
      weighed.set(path, matters);
      return matters;
    },
    decides: (these, those) => {
      const [a, b] = [these, those].map((facts) =>
        decision(assembleCase({ ...ofTheCase(own), ...facts }, context.today)),
      );
      return a !== b;
    },
    ageOf: (child) => {
      const found = theCase.children.find(({ id }) => id === child);
      return found ? ageOf(found, context.today) : null;
    },
    modeOf: (child) => theCase.uses.find((use) => use.childId === child)?.mode ?? null,
    positionOf: (child) => theCase.uses.find((use) => use.childId === child)?.positionId ?? null,
  };
}
