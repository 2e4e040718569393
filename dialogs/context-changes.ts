import { decide } from '#shared/decide.ts';
import { carMark, takeable, withoutAbsent, withoutOtherSeat } from './another-car.ts';
import type { Answer, IntakeContext } from './intake-context.ts';
import { askOf, nextQuestion } from './next-question.ts';
import { BY_MODE } from './riding-questions.ts';
import { caseOf, viewOf } from './view.ts';

/** The answers as they stand once these are added; an answer to a reopened question replaces the old ones. */
function merged(context: IntakeContext, added: readonly Answer[]): Answer[] {
  const replaced = added.some(({ question }) => question === context.reopened) ? context.reopened : null;
  return [...context.answers.filter(({ question }) => question !== replaced), ...added.map(withoutOldConfirmation)];
}

/** A size said anew was not yet confirmed, whatever was confirmed before. */
function withoutOldConfirmation(answer: Answer): Answer {
  const sizes = Object.keys(answer.facts).flatMap(
    (path) => /^children\.(\w+)\.(?:weightKg|heightCm)$/.exec(path)?.[1] ?? [],
  );
  const cleared = sizes.map((child) => [`children.${child}.sizeConfirmed`, null] as const);
  return { ...answer, facts: { ...answer.facts, ...Object.fromEntries(cleared) } };
}

/** The context without what was said of an installation that these answers undo. */
function withoutOldInstallation(context: IntakeContext, added: readonly Answer[]): IntakeContext {
  const modes = new Map(caseOf(context).uses.map((use) => [use.childId, use.mode]));
  const turned = added.flatMap(({ facts }) =>
    Object.entries(facts).flatMap(([path, value]) => {
      const child = /^uses\.(\w+)\.mode$/.exec(path)?.[1];
      const before = child && modes.get(child);
      return child && before != null && before !== value ? [child] : [];
    }),
  );
  if (turned.length === 0) return context;
  const stale = ({ question }: Answer): boolean => {
    const [id = '', child = ''] = question.split(':');
    return BY_MODE.has(id) && turned.includes(child);
  };
  return { ...context, answers: context.answers.filter((answer) => !stale(answer)) };
}

export function withAnswers(context: IntakeContext, added: readonly Answer[]): IntakeContext {
  const before = withoutOtherSeat(withoutOldInstallation(context, added), added);
  return withoutAbsent({ ...context, answers: merged(before, added), reopened: null, misunderstood: 0 });
}

/** The context in which the question on screen is asked: a reopened question counts as not yet answered. */
export const asAsked = (context: IntakeContext): IntakeContext =>
  context.reopened === null
    ? context
    : { ...context, answers: context.answers.filter(({ question }) => question !== context.reopened) };

/** Key of the question to be asked now, or null when nothing is left to ask. */
export const askingKey = (context: IntakeContext): string | null =>
  context.reopened ?? nextQuestion(viewOf(context))?.key ?? null;

/** Takes away all that the latest answering message said and reopens the first of its questions that can be asked. */
export function takenBack(context: IntakeContext): IntakeContext {
  const last = takeable(context.answers).at(-1);
  if (!last) return context;
  const answers = context.answers.filter(({ turn }) => turn !== last.turn);
  const taken = context.answers.filter(({ turn }) => turn === last.turn);
  return { ...context, answers, reopened: firstToAsk({ ...context, answers }, taken) };
}

/** The first question of these answers that can be asked; of those said in passing, and of marks, not every one can. */
function firstToAsk(context: IntakeContext, answers: readonly Answer[]): string | null {
  const view = viewOf(context);
  return answers.find(({ question }) => askOf(question, view) !== null)?.question ?? null;
}

/** Accepts what was read back. A size that no growth reference expects is marked as confirmed by the caregiver. */
export function accepted(context: IntakeContext, answers: readonly Answer[]): IntakeContext {
  const next = withAnswers({ ...context, pending: null }, answers);
  const odd = decide(caseOf(next)).findings.filter(({ code }) => code === 'size-implausible');
  const confirmed = odd.map(({ childId }) => [`children.${childId}.sizeConfirmed`, true] as const);
  if (confirmed.length === 0) return next;
  const mark: Answer = {
    question: 'confirm',
    facts: Object.fromEntries(confirmed),
    declined: [],
    unsure: false,
    // With what it confirms it is taken back.
    turn: answers.at(-1)?.turn ?? context.turn,
  };
  return { ...next, answers: [...next.answers, mark] };
}

/** Drops what was read back wrongly, also where it stood among the answers; a question left without an answer is reopened. */
export function rejected(context: IntakeContext, pending: readonly Answer[]): IntakeContext {
  const wrong = new Set(pending.map(said));
  const answers = context.answers.filter((answer) => !wrong.has(said(answer)));
  const unanswered = pending.filter(({ question }) => !answers.some((answer) => answer.question === question));
  return { ...context, pending: null, answers, reopened: firstToAsk({ ...context, answers }, unanswered) };
}

/** What an answer says, whenever it was said. */
const said = ({ question, facts }: Answer): string =>
  JSON.stringify([question, ...Object.entries(facts).filter(([path]) => !path.endsWith('.sizeConfirmed'))]);

/** Starts over with the same language, event and consent. */
export const restarted = (context: IntakeContext): IntakeContext => ({
  ...context,
  answers: carMark(context.answers),
  words: [],
  notes: [],
  reopened: null,
  pending: null,
  offered: null,
  told: [],
  misunderstood: 0,
  contact: null,
});

/** Forgets all that was said. */
export const forgotten = (context: IntakeContext): IntakeContext => ({
  ...restarted(context),
  answers: [],
  earlier: [],
  consented: false,
  slot: undefined,
});
