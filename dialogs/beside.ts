import { RESTRAINT_MODES } from '#shared/case.ts';
import type { Ears } from './ears.ts';
import { factOf } from './facts.ts';
import type { Answer, IntakeContext } from './intake-context.ts';
import { type Message, NOTHING_READ } from './interpretation.ts';
import { landValues } from './land-values.ts';
import { type Ask, applicable } from './next-question.ts';
import { answerTo, heardFor, outcomeOf } from './outcome.ts';
import { questionKey, type View } from './questions/question.ts';
import type { Reading, ReadValues } from './understanding/types.ts';

/** Answers to the questions that this one invites to answer in the same breath, where they apply and are open. */
export function heardBeside(ask: Ask, view: View, message: Message, context: IntakeContext, ears: Ears): Answer[] {
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

/** Lists whose things families name at any time: where a child sits now, and what the seat has been through. */
const NAMED_IN_PASSING = ['position', 'seat-history'];

/** Questions whose things families name while another stands: what the label says, and how seat and child are held. */
const NAMED_WHILE_ASKED = ['attachment', 'tether', 'install-check', 'harness-check', 'belt-check'];
const LABEL = ['label-limits', 'seat-dates'];

/** Choices that name nothing, heard in words such as "nothing" that may be about anything. */
const NAMES_NOTHING = ['none', 'unsure'];

/**
 * What the words of a message name of a child that answers no question on screen. `whileAsked`: another question stands,
 * and the message may run ahead of it; a figure in it is the label's only where the reader took it for nothing else.
 */
export function namedInPassing(
  view: View,
  child: string,
  message: Message,
  context: IntakeContext,
  ears: Ears,
  whileAsked: boolean,
  reading: Reading,
): Answer[] {
  const figures = ['weightKg', 'heightCm', 'ageMonths', 'birthDate', 'date', 'vehicleYear'] as const;
  const label = figures.every((field) => reading.values[field] === undefined) ? LABEL : [];
  const open = [...NAMED_IN_PASSING, ...(whileAsked ? [...NAMED_WHILE_ASKED, ...label] : [])];
  return applicable(view)
    .filter(({ question, subject }) => open.includes(question.id) && subject.child === child)
    .flatMap((ask) => {
      const heard = heardFor(ask, message, NOTHING_READ, context, ears);
      const named = heard.named.filter((id) => !NAMES_NOTHING.includes(id));
      const { outcome } = outcomeOf(ask, view, message, { ...heard, named });
      return outcome?.kind === 'facts' ? [answerTo(ask.key, outcome, [], context.turn)] : [];
    });
}

const MODE_KEYS: readonly string[] = RESTRAINT_MODES;

/** The field a path ends in; a figure kept by mode is named by the field that holds it. */
const fieldOf = (path: string): string => {
  const [last = '', before = ''] = path.split('.').reverse();
  return MODE_KEYS.includes(last) ? before : last;
};

/** What was read from a message as it was used, so that the technician sees it beside the words. */
export function valuesOf(reading: Reading, ask: Ask, own: Answer | null): object {
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

export const replacesPillar = (view: View, { facts }: Answer): boolean =>
  Object.entries(facts).some(([path, value]) => PILLARS.test(path) && value !== null && view.known(path));

/** Whether an answer only repeats what is known. */
export const isNoNews = (view: View, { facts }: Answer): boolean =>
  Object.entries(facts).every(
    ([path, value]) =>
      /^(?:children|seats)\.\w+$/.test(path) ||
      JSON.stringify(factOf(view.case, path) ?? null) === JSON.stringify(value),
  );

/** What a message states beyond the answer itself, each under the question that would have asked for it. */
export function landed(
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
