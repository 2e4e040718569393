import { heardBeside, isNoNews, landed, namedInPassing, replacesPillar, valuesOf } from './beside.ts';
import { childNamed } from './child-named.ts';
import { asAsked } from './context-changes.ts';
import type { Ears } from './ears.ts';
import type { IntakeContext } from './intake-context.ts';
import {
  aboutAsk,
  type Interpretation,
  just,
  type Message,
  readContext,
  type Standing,
  wordsOf,
} from './interpretation.ts';
import type { Ask } from './next-question.ts';
import { ofBoth } from './of-both.ts';
import { answerTo, heardFor, outcomeOf } from './outcome.ts';
import { carFact, type View } from './questions/question.ts';
import type { Phrase } from './reply.ts';
import { settle } from './settle.ts';
import type { Reading } from './understanding/types.ts';
import { viewOf } from './view.ts';

/** Questions whose own answer may name a car or another seat. */
const OF_SEATS_AND_CARS = ['child-count', 'child-name', 'vehicle', 'place', 'care-needs', 'seat-history'];

/** A seat in another car: a case holds one use a child, so it goes to the technician as a note and overwrites nothing. */
const speaksOfSecondSeat = (
  { question, subject }: Ask,
  { text, choiceIds }: Message,
  { language }: IntakeContext,
  view: View,
  ears: Ears,
): boolean => {
  // In the other car, that is what is spoken of.
  if (choiceIds.length > 0 || OF_SEATS_AND_CARS.includes(question.id) || view.known(carFact)) return false;
  // Where a child may ride in the other car, that is an answer.
  const named = question.choices(subject, view).includes('other-car') ? ears.keywords(text, language, 'position') : [];
  return named[0] !== 'other-car' && ears.keywords(text, language, 'second-seat').length > 0;
};

/** Questions whose hint tells how to answer, not how to find out. */
const NOTHING_TO_FIND_OUT = [
  'child-count',
  'child-name',
  'age',
  'due-date',
  'sex',
  'care-needs',
  'riding-mode',
  'rides-upright',
  'acquired',
  'seat-history',
  'crash',
  'crash-details',
  'registered',
  'position',
  'rear-row',
  'clothing',
  'insert',
  'add-on',
  'vehicle',
  'place',
];

/** One line to an "I don't know": how it can be found out before the visit. */
const howToFindOut = (ask: Ask, context: IntakeContext): readonly Phrase[] =>
  NOTHING_TO_FIND_OUT.includes(ask.question.id)
    ? []
    : [{ key: 'say.unsure', values: { how: { kind: 'phrase', phrase: aboutAsk('how', ask, context) } } }];

/** Reads a message as the answer to the question on screen, and as anything else that it states. */
export function hearAnswer(
  standing: Standing,
  ask: Ask,
  message: Message,
  reading: Reading,
  ears: Ears,
): Interpretation | null {
  const { context } = standing;
  const view = viewOf(asAsked(context));
  if (speaksOfSecondSeat(ask, message, context, view, ears))
    return just({ type: 'NOTE', words: wordsOf(ask.question.id, message, {}) }, { key: 'say.noted' });
  const heard = heardFor(ask, message, reading, context, ears);
  const { outcome, tapped } = outcomeOf(ask, view, message, heard);
  if (outcome?.kind === 'invalid') return { event: { type: 'MISUNDERSTOOD' }, lead: [outcome.why] };
  const own = outcome ? answerTo(ask.key, outcome, ask.question.facts(ask.subject, view), context.turn) : null;
  const child = ask.subject.child ?? view.children[0] ?? 'c1';
  const others = tapped ? [] : landed(reading, child, context, ask, own).filter((answer) => !isNoNews(view, answer));
  const invited = own && !tapped ? heardBeside(ask, view, message, context, ears) : [];
  const alike = tapped ? [] : ofBoth(ask, heard, own, view);
  const answers = [...(own ? [own] : []), ...alike, ...invited, ...others];
  if (answers.length === 0) return null;
  const ownDoubted = !tapped && outcome?.kind === 'facts' && outcome.confirm === true;
  // What a message states beside the answer shares the reader's doubt; the answer itself says whether it does.
  const doubted = [
    ...(own && ownDoubted ? [own, ...alike] : []),
    ...others.filter((answer) => reading.confidence === 'confirm' || replacesPillar(view, answer)),
  ];
  const words = wordsOf(ask.question.id, message, valuesOf(reading, ask, own));
  const settled = settle(context, answers, doubted, tapped, words);
  return own?.unsure ? { ...settled, lead: [...settled.lead, ...howToFindOut(ask, context)] } : settled;
}

/**
 * Reads a message that answers no question in particular: before consent, at the review, after sending, or beside the
 * question on screen, whose child it is then taken to speak of.
 */
export function hearOpen(
  standing: Standing,
  message: Message,
  ears: Ears,
  asking: string | null,
  beside?: Ask,
): Interpretation | null {
  const { context } = standing;
  const view = viewOf(context);
  const reading = ears.read({
    language: context.language,
    asked: null,
    text: message.text,
    context: readContext(context, null),
  });
  const called = childNamed(message.text, view);
  const child = called ?? beside?.subject.child ?? view.children[0] ?? 'c1';
  // Of several children, one that is not named may be the wrong one.
  const anyone = called === null && view.children.length > 1;
  const stated = landed(reading, child, context, null, null);
  const named =
    anyone && beside?.subject.child === undefined
      ? []
      : namedInPassing(view, child, message, context, ears, beside !== undefined, reading);
  // "With the belt", said beside a question, tells what holds the seat and turns no way of riding into another.
  const answers = [...stated, ...named].filter(
    (answer) => !isNoNews(view, answer) && !(beside !== undefined && replacesPillar(view, answer)),
  );
  if (answers.length === 0) return null;
  const doubted = answers.filter(
    (answer) =>
      reading.confidence === 'confirm' ||
      named.includes(answer) ||
      replacesPillar(view, answer) ||
      (anyone && answer.question.includes(':')),
  );
  return settle(context, answers, doubted, false, wordsOf(asking, message, reading.values));
}
