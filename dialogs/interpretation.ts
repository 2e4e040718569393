import type { CaregiverWords } from '#shared/summary.ts';
import { asAsked } from './context-changes.ts';
import { childPhrase } from './describe.ts';
import type { Ears } from './ears.ts';
import type { EventTimes } from './event-times.ts';
import type { IntakeEvent } from './events.ts';
import type { IntakeContext } from './intake-context.ts';
import type { PhotoReading } from './label-photo.ts';
import { type Ask, askOf, nextQuestion } from './next-question.ts';
import type { View } from './questions/question.ts';
import type { Phrase } from './reply.ts';
import type { Language, Reading } from './understanding/types.ts';
import { viewOf } from './view.ts';

export interface Message {
  readonly text: string;
  /** Ids of choices that were tapped, or whose words were typed. */
  readonly choiceIds: readonly string[];
  /** What was read of a photo that came in place of words. */
  readonly photo?: PhotoReading;
  /** No more photos of this family are kept; the one that came is only read. */
  readonly photosFull?: boolean;
}

export interface Interpretation {
  /** Null where nothing changes: the question is asked again after `lead`. */
  readonly event: IntakeEvent | null;
  /** What is said before the next question. */
  readonly lead: readonly Phrase[];
  /** A message to be heard again after the event, now that its language is known. */
  readonly again?: string;
}

export interface Standing {
  readonly value: string;
  readonly context: IntakeContext;
  /** The question on screen while in `asking`. */
  readonly ask: Ask | null;
  /** Times at the event; null where it has none to give. */
  readonly times: EventTimes | null;
}

/** One way of reading a message; null where it has nothing to say. */
export type Part = (standing: Standing, message: Message, reading: Reading, ears: Ears) => Interpretation | null;

export const just = (event: IntakeEvent, ...lead: Phrase[]): Interpretation => ({ event, lead });
export const say = (...lead: Phrase[]): Interpretation => ({ event: null, lead });

export const wordsOf = (asking: string | null, { text }: Message, values: object): CaregiverWords => ({
  asking,
  text,
  values: { ...values },
});

/** What the reader makes of a message that was tapped, or that it is not asked about. */
export const NOTHING_READ: Reading = { values: {}, confidence: 'none' };

/** Whether a message states anything beyond yes or no. */
export const hasValues = ({ values }: Reading): boolean => Object.keys(values).some((key) => key !== 'answer');

/** The question on screen, or null outside `asking`. */
export function standingAsk(value: string, context: IntakeContext): Ask | null {
  if (value !== 'asking') return null;
  const view = viewOf(asAsked(context));
  return context.reopened ? askOf(context.reopened, view) : nextQuestion(view);
}

/** What a question is about, for the words that ask or explain it. */
export const askValues = ({ subject: { child, mode } }: Ask, view: View): NonNullable<Phrase['values']> => ({
  ...(child && { child: childPhrase(child, view) }),
  ...(mode && { mode: { kind: 'phrase', phrase: { key: `choice.riding-mode.${mode}` } } }),
});

/** Why a question is asked, or how to find the answer. */
export const aboutAsk = (part: 'why' | 'how', ask: Ask, context: IntakeContext): Phrase => ({
  key: `${part}.${ask.question.id}`,
  values: askValues(ask, viewOf(context)),
});

/** A switch of language, and the words to be heard again in it. */
export const inLanguage = (language: Language, again: string): Interpretation => ({
  event: { type: 'LANGUAGE', language },
  lead: [],
  again,
});

/** What the reader may know: the day, the units of the place, and the age of the child the question is about. */
export function readContext(context: IntakeContext, ask: Ask | null) {
  const view = viewOf(context);
  const child = ask?.subject.child ?? view.children[0];
  const ageMonths = child ? view.ageOf(child) : null;
  return {
    today: context.today,
    units: 'us' as const,
    ...(ageMonths && { ageMonths: [ageMonths.min, ageMonths.max] as const }),
  };
}
