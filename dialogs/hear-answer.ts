import { RESTRAINT_MODES } from '#shared/case.ts';
import { decide } from '#shared/decide.ts';
import { childNamed } from './child-named.ts';
import { chosenIn, withoutContradiction } from './choosing.ts';
import { asAsked, withAnswers } from './context-changes.ts';
import { describe, describeAnswer } from './describe.ts';
import type { Ears } from './ears.ts';
import { factOf } from './facts.ts';
import type { Answer, IntakeContext } from './intake-context.ts';
import { type Interpretation, just, type Message, readContext, type Standing, wordsOf } from './interpretation.ts';
import { landValues } from './land-values.ts';
import type { Ask } from './next-question.ts';
import { type Heard, type Outcome, type Question, questionKey, type Subject, type View } from './questions/question.ts';
import type { Phrase } from './reply.ts';
import type { Reading, ReadValues } from './understanding/types.ts';
import { caseOf, makesCase, viewOf } from './view.ts';

const NOTHING_READ: Reading = { values: {}, confidence: 'none' };

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
function outcomeOf(ask: Ask, view: View, message: Message, heard: Heard): { outcome: Outcome | null; tapped: boolean } {
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

function heardFor(ask: Ask, { text }: Message, reading: Reading, context: IntakeContext, ears: Ears): Heard {
  const { language, today } = context;
  const { question } = ask;
  const listensToLimits = question.deaf?.includes('weightKg') === true;
  const listensToDates = question.slot === 'date';
  const count = question.words === 'count' ? ears.count(text, language) : null;
  return {
    text,
    reading,
    limits: listensToLimits ? ears.limits(text, language, 'us') : null,
    dates: listensToDates ? ears.dates(text, language, today) : null,
    denied: question.words && question.words !== 'count' ? ears.denied(text, language, question.words) : [],
    named: count !== null ? [String(count)] : question.words ? ears.keywords(text, language, question.words) : [],
  };
}

/** Answers to the questions that this one invites to answer in the same breath, where they apply and are open. */
function heardBeside(ask: Ask, view: View, message: Message, context: IntakeContext, ears: Ears): Answer[] {
  const { child } = ask.subject;
  return (ask.question.invites?.(ask.subject) ?? []).flatMap((question) =>
    question.subjects(view, child).flatMap((subject) => {
      const key = questionKey(question, subject);
      if (view.answered(key).times > 0) return [];
      const beside = { question, subject, key };
      const { outcome } = outcomeOf(beside, view, message, heardFor(beside, message, NOTHING_READ, context, ears));
      return outcome?.kind === 'facts' ? [answerTo(key, outcome, [], context.turn)] : [];
    }),
  );
}

const answerTo = (
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

/** Questions whose own answer may name a car or another seat. */
const OF_SEATS_AND_CARS = ['child-count', 'child-name', 'vehicle', 'place', 'care-needs', 'seat-history'];

/** A seat in another car: a case holds one use a child, so it goes to the technician as a note and overwrites nothing. */
const speaksOfSecondSeat = ({ question }: Ask, { text, choiceIds }: Message, { language }: IntakeContext, ears: Ears) =>
  choiceIds.length === 0 &&
  !OF_SEATS_AND_CARS.includes(question.id) &&
  ears.keywords(text, language, 'second-seat').length > 0;

/** Reads a message as the answer to the question on screen, and as anything else that it states. */
export function hearAnswer(
  standing: Standing,
  ask: Ask,
  message: Message,
  reading: Reading,
  ears: Ears,
): Interpretation | null {
  const { context } = standing;
  if (speaksOfSecondSeat(ask, message, context, ears))
    return just({ type: 'NOTE', words: wordsOf(ask.question.id, message, {}) }, { key: 'say.noted' });
  const view = viewOf(asAsked(context));
  const heard = heardFor(ask, message, reading, context, ears);
  const { outcome, tapped } = outcomeOf(ask, view, message, heard);
  if (outcome?.kind === 'invalid') return { event: { type: 'MISUNDERSTOOD' }, lead: [outcome.why] };
  const own = outcome ? answerTo(ask.key, outcome, ask.question.facts(ask.subject, view), context.turn) : null;
  const child = ask.subject.child ?? view.children[0] ?? 'c1';
  const others = tapped ? [] : landed(reading, child, context, ask, own).filter((answer) => !isNoNews(view, answer));
  const invited = own && !tapped ? heardBeside(ask, view, message, context, ears) : [];
  const answers = [...(own ? [own] : []), ...invited, ...others];
  if (answers.length === 0) return null;
  const ownDoubted = !tapped && outcome?.kind === 'facts' && outcome.confirm === true;
  // What a message states beside the answer shares the reader's doubt; the answer itself says whether it does.
  const doubted = [
    ...(own && ownDoubted ? [own] : []),
    ...others.filter((answer) => reading.confidence === 'confirm' || replacesPillar(view, answer)),
  ];
  return settle(context, answers, doubted, tapped, wordsOf(ask.question.id, message, valuesOf(reading, ask, own)));
}

/** Reads a message that answers no question in particular: before consent, at the review, after sending. */
export function hearOpen(
  standing: Standing,
  message: Message,
  ears: Ears,
  asking: string | null,
): Interpretation | null {
  const { context } = standing;
  const view = viewOf(context);
  const reading = ears.read({
    language: context.language,
    asked: null,
    text: message.text,
    context: readContext(context, null),
  });
  const named = childNamed(message.text, view);
  const child = named ?? view.children[0] ?? 'c1';
  // Of several children, one that is not named may be the wrong one.
  const anyone = named === null && view.children.length > 1;
  const answers = landed(reading, child, context, null, null);
  if (answers.length === 0) return null;
  const doubted = answers.filter(
    (answer) =>
      reading.confidence === 'confirm' || replacesPillar(view, answer) || (anyone && answer.question.includes(':')),
  );
  return settle(context, answers, doubted, false, wordsOf(asking, message, reading.values));
}

const MODE_KEYS: readonly string[] = RESTRAINT_MODES;

/** The field a path ends in; a figure kept by mode is named by the field that holds it. */
const fieldOf = (path: string): string => {
  const [last = '', before = ''] = path.split('.').reverse();
  return MODE_KEYS.includes(last) ? before : last;
};

/** What was read from a message as it was used, so that the technician sees it beside the words. */
function valuesOf(reading: Reading, ask: Ask, own: Answer | null): object {
  const deaf: readonly string[] = deafTo(ask, own, reading.values);
  const heard = Object.entries(reading.values).filter(([field]) => !deaf.includes(field));
  // Label limits and seat dates are read by readers of their own, not by the one that listens for the child.
  const label = own && ask.question.deaf ? Object.entries(own.facts).filter(([, value]) => value !== null) : [];
  const used = Object.fromEntries([...heard, ...label.map(([path, value]) => [fieldOf(path), value] as const)]);
  return own?.chosen && Object.keys(used).length === 0 ? { chosen: own.chosen } : used;
}

/** Questions beside whose answer families also tell who the child is and how it rides. */
const OPEN_TO_ALL = ['child-count', 'child-name', 'age', 'weight', 'height', 'riding-mode', 'vehicle', 'place'];

/** What the answer to any other question easily sounds like without meaning it: "with the belt" is no way of riding there. */
const MISHEARD = ['mode', 'seatKind', 'ageMonths', 'vehicleYear', 'date'] as const;

/** Values of a message that say nothing about the child once it answers this question. */
const deafTo = ({ question }: Ask, own: Answer | null, values: ReadValues): readonly (keyof ReadValues)[] => [
  ...(question.deaf ?? []),
  ...(own ? (question.misheard?.(own.facts, values) ?? []) : []),
  ...(own !== null && !OPEN_TO_ALL.includes(question.id) ? MISHEARD : []),
];

/** Facts on which everything else hangs: said anew in passing, they are read back before they replace what is known. */
const PILLARS = /\.(?:mode|kind|ageMonths|birthDate)$/;

const replacesPillar = (view: View, { facts }: Answer): boolean =>
  Object.entries(facts).some(([path, value]) => PILLARS.test(path) && value !== null && view.known(path));

/** Whether an answer only repeats what is known. */
const isNoNews = (view: View, { facts }: Answer): boolean =>
  Object.entries(facts).every(
    ([path, value]) => value === true || JSON.stringify(factOf(view.case, path) ?? null) === JSON.stringify(value),
  );

function landed(
  reading: Reading,
  child: string,
  context: IntakeContext,
  ask: Ask | null,
  own: Answer | null,
): Answer[] {
  const mine = new Set(Object.keys(own?.facts ?? {}));
  return landValues(reading.values, child, ask ? deafTo(ask, own, reading.values) : [])
    .map(({ question, facts }) => ({
      question,
      facts: Object.fromEntries(Object.entries(facts).filter(([path]) => !mine.has(path))),
      declined: [],
      unsure: false,
      turn: context.turn,
    }))
    .filter(({ facts }) => Object.keys(facts).length > 0);
}

/** Divides answers into those to use and those to read back, and refuses what no case can hold. */
function settle(
  context: IntakeContext,
  answers: readonly Answer[],
  doubted: readonly Answer[],
  tapped: boolean,
  words: ReturnType<typeof wordsOf>,
): Interpretation {
  const parsed = makesCase(context, answers);
  if (!parsed.ok) return { event: { type: 'MISUNDERSTOOD' }, lead: [refusal(parsed.error.path)] };
  const odd = implausible(context, answers);
  const doubtful = [
    ...answers.filter((a) => doubted.includes(a) || odd.some((path) => path in a.facts)),
    ...earlier(context, answers, odd),
  ];
  const settled = answers.filter((a) => !doubtful.includes(a));
  const lead = [...(tapped ? [] : heardBack(settled)), ...careCaution(settled)];
  return { event: { type: 'ANSWER', answers: settled, doubtful, words }, lead };
}

/** A child with special needs is not for this service alone; said when the need is told. */
const careCaution = (answers: readonly Answer[]): readonly Phrase[] =>
  answers.some(({ facts }) =>
    Object.entries(facts).some(([path, value]) => /\.(?:medicalNeeds|bornBeforeWeek37)$/.test(path) && value === true),
  )
    ? [{ key: 'caution.special-care' }]
    : [];

const refusal = (path: string): Phrase => ({ key: path.includes('Date') ? 'invalid.date' : 'invalid.value' });

/** Paths of sizes that no growth reference expects at the child's age and that nobody has confirmed yet. */
function implausible(context: IntakeContext, answers: readonly Answer[]): readonly string[] {
  const theCase = caseOf(withAnswers(context, answers));
  const confirmed = new Set(theCase.children.filter((c) => c.sizeConfirmed).map(({ id }) => id));
  return decide(theCase)
    .findings.filter(({ code, childId }) => code === 'size-implausible' && !confirmed.has(childId ?? ''))
    .flatMap(({ facts }) => facts.filter((path) => /\.(weightKg|heightCm)$/.test(path)));
}

/** Sizes said earlier that only now, with the age known, turn out to be implausible. */
function earlier(context: IntakeContext, answers: readonly Answer[], odd: readonly string[]): readonly Answer[] {
  const old = odd.filter((path) => !answers.some(({ facts }) => path in facts));
  return context.answers
    .filter(({ facts }) => old.some((path) => path in facts))
    .map((answer) => ({ ...answer, turn: context.turn }));
}

/** What was understood, said back before the next question. */
export const heardBack = (answers: readonly Answer[]): readonly Phrase[] => {
  const phrases = answers.flatMap((answer) => describeAnswer(answer));
  return phrases.length === 0 ? [] : [{ key: 'say.heard', values: { list: { kind: 'list', phrases } } }];
};
