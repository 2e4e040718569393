import { chosenIn, withoutContradiction } from './choosing.ts';
import { describe } from './describe.ts';
import type { Ears } from './ears.ts';
import type { Answer, IntakeContext } from './intake-context.ts';
import type { Message } from './interpretation.ts';
import type { Ask } from './next-question.ts';
import type { Heard, Outcome, Question, Subject, View } from './questions/question.ts';
import type { Reading } from './understanding/types.ts';

/** The outcome of choices, with their ids kept for the review. */
function chosen(question: Question, ids: readonly string[], subject: Subject, view: View): Outcome | null {
  const outcome = question.choose?.(ids, subject, view) ?? null;
  return outcome?.kind === 'facts' ? { chosen: ids, ...outcome } : outcome;
}

/** Words that say what a choice says count as that choice, so that the review can name it. */
function asChoice(outcome: Outcome, question: Question, choices: readonly string[], subject: Subject, view: View) {
  if (outcome.kind !== 'facts' || outcome.chosen || describe(outcome.facts).length > 0) return outcome;
  const said = JSON.stringify(outcome.facts);
  const id = choices.find((choice) => {
    const same = question.choose?.([choice], subject, view);
    return same?.kind === 'facts' && JSON.stringify(same.facts) === said;
  });
  return id === undefined ? outcome : { ...outcome, chosen: [id] };
}

/** What the question's own choices, words and values make of a message. */
export function outcomeOf(
  ask: Ask,
  view: View,
  message: Message,
  heard: Heard,
): { outcome: Outcome | null; tapped: boolean } {
  const { question, subject } = ask;
  const choices = question.choices(subject, view);
  const ids =
    message.choiceIds.length > 0
      ? message.choiceIds.filter((id) => choices.includes(id))
      : chosenIn(message.text, { choices, many: question.many === true, numeric: question.numeric === true });
  if (ids && ids.length > 0 && question.choose)
    return { outcome: chosen(question, withoutContradiction(ids), subject, view), tapped: true };
  const outcome = question.hear?.(heard, subject, view) ?? null;
  if (outcome) return { outcome: asChoice(outcome, question, choices, subject, view), tapped: false };
  const placed = question.numeric ? chosenIn(message.text, { choices, many: false, numeric: false }) : null;
  if (placed && question.choose) return { outcome: chosen(question, placed, subject, view), tapped: true };
  const named = heard.named.filter((id) => choices.includes(id));
  if (named.length === 1) return { outcome: chosen(question, named, subject, view), tapped: false };
  const unsure = heard.reading.intent === 'unsure' || heard.reading.values.answer === 'unsure';
  return { outcome: unsure ? { kind: 'unsure' } : null, tapped: false };
}

/** A message as a question hears it: its own words, limits and dates beside what the reader made of it. */
export function heardFor(ask: Ask, { text }: Message, reading: Reading, context: IntakeContext, ears: Ears): Heard {
  const { language, today } = context;
  const { question } = ask;
  const listensToLimits = question.deaf?.includes('weightKg') === true;
  const listensToDates = question.slot === 'date';
  const count = question.words === 'count' ? ears.count(text, language) : null;
  const words = question.words && question.words !== 'count' ? question.words : null;
  const none = question.many === true && ears.deniesAll(text, language);
  return {
    text,
    reading,
    limits: listensToLimits ? ears.limits(text, language, 'us') : null,
    dates: listensToDates ? ears.dates(text, language, today) : null,
    denied: words && !none ? ears.denied(text, language, words) : [],
    named: count !== null ? [String(count)] : none ? ['none'] : words ? ears.keywords(text, language, words) : [],
  };
}

/** An outcome as it is kept: with its question, what stays unknown, and the turn. */
export const answerTo = (
  question: string,
  outcome: Exclude<Outcome, { kind: 'invalid' }>,
  paths: readonly string[],
  turn: number,
): Answer => ({
  question,
  facts: { ...outcome.facts },
  ...(outcome.kind === 'facts' && outcome.chosen && { chosen: [...outcome.chosen] }),
  declined: outcome.kind === 'unsure' ? [...paths] : [...(outcome.declined ?? [])],
  unsure: outcome.kind === 'unsure',
  turn,
});
