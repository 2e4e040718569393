import type { Case, ModeInUse, RestraintMode } from '#shared/case.ts';
import type { Interval } from '#shared/interval.ts';
import type { LabelLimits, SeatDates } from '../ears.ts';
import type { Facts } from '../facts.ts';
import type { Phrase } from '../reply.ts';
import type { AskedSlot, Reading, ReadValues } from '../understanding/types.ts';

/** What a question is about: nothing in particular, a child, or one mode of a child's seat. */
export interface Subject {
  readonly child?: string;
  readonly mode?: RestraintMode;
}

/** The family as far as it is known, in the shape in which questions look at it. */
export interface View {
  readonly case: Case;
  readonly today: string;
  readonly children: readonly string[];
  /** How many times a question was answered, and whether one of the answers was "I don't know". */
  readonly answered: (key: string) => { readonly times: number; readonly unsure: boolean };
  readonly known: (path: string) => boolean;
  /** Whether the rules core could still decide something differently by this fact. */
  readonly matters: (path: string) => boolean;
  /** Whether the rules core decides differently under these and those facts, all else as it is. */
  readonly decides: (these: Facts, those: Facts) => boolean;
  /** Completed months, or null while unknown. */
  readonly ageOf: (child: string) => Interval | null;
  readonly modeOf: (child: string) => ModeInUse | null;
  readonly positionOf: (child: string) => string | null;
}

/** A caregiver's message as heard while a question stood. */
export interface Heard {
  readonly text: string;
  readonly reading: Reading;
  readonly limits: LabelLimits | null;
  readonly dates: SeatDates | null;
  /** Choice ids of this question that the words name, and those they deny. */
  readonly named: readonly string[];
  readonly denied: readonly string[];
}

/**
 * What a message means for the question asked. `confirm`: plausible, to be read back first. `declined`: facts the
 * caregiver cannot know, not to be asked again.
 */
export type Outcome =
  | {
      readonly kind: 'facts';
      readonly facts: Facts;
      readonly chosen?: readonly string[];
      readonly confirm?: boolean;
      readonly declined?: readonly string[];
    }
  | { readonly kind: 'unsure'; readonly facts?: Facts }
  | { readonly kind: 'invalid'; readonly why: Phrase };

export interface Question {
  readonly id: string;
  /** Asked even where it changes no decision: the core facts of the conversation. */
  readonly core?: boolean;
  /** How the reader listens; null where only choices or free words count. */
  readonly slot: AskedSlot | null;
  /** Several choices may be ticked. */
  readonly many?: boolean;
  /** Whether a bare number is an answer rather than a place in the list of choices. */
  readonly numeric?: boolean;
  /** Values that, in an answer to this question, do not speak of the child. */
  readonly deaf?: readonly (keyof ReadValues)[];
  /** Values that are only the answer itself, heard as something else. */
  readonly misheard?: (own: Facts, values: ReadValues) => readonly (keyof ReadValues)[];
  /** The group of checklist words the reader looks for in free text. */
  readonly words?: string;
  /** What the question is about now; empty where it does not apply. */
  readonly subjects: (view: View, child?: string) => readonly Subject[];
  /** Paths of the facts it can settle. */
  readonly facts: (subject: Subject, view: View) => readonly string[];
  /** True when nothing more is to be asked; by default once it was answered or all its facts are known. */
  readonly settled?: (subject: Subject, view: View) => boolean;
  readonly choices: (subject: Subject, view: View) => readonly string[];
  readonly choose?: (ids: readonly string[], subject: Subject, view: View) => Outcome;
  readonly hear?: (heard: Heard, subject: Subject, view: View) => Outcome | null;
  /** Questions whose answer this one invites to give at once; heard beside its own. */
  readonly invites?: (subject: Subject) => readonly Question[];
  /** A variant of the wording, where one question has several; by default the id. */
  readonly wording?: (subject: Subject, view: View) => string;
}

export const questionKey = (question: Question, subject: Subject): string =>
  [question.id, subject.child, subject.mode].filter(Boolean).join(':');

export const seatOf = (child: string): string => child.replace(/^c/, 's');

export const childFact = (child: string, field: string): string => `children.${child}.${field}`;
export const seatFact = (child: string, field: string): string => `seats.${seatOf(child)}.${field}`;
/** Facts of the conversation itself, no part of the case: a child not born yet, and the month or day it is due. */
export const unbornFact = (child: string): string => `conversation.${child}.unborn`;
export const dueFact = (child: string): string => `conversation.${child}.due`;
/** Which of the family's cars is spoken of; unknown while it is the first. */
export const carFact = 'conversation.car';
/** In the first car: this child rides in another one. */
export const otherCarFact = (child: string): string => `conversation.${child}.otherCar`;
export const useFact = (child: string, field: string): string => `uses.${child}.${field}`;

export const facts = (known: Facts, chosen?: readonly string[]): Outcome => ({
  kind: 'facts',
  facts: known,
  ...(chosen && { chosen }),
});
export const UNSURE: Outcome = { kind: 'unsure' };

/** The subjects of a question that is asked once for each child for whom `applies` holds. */
export const perChild =
  (applies: (child: string, view: View) => boolean) =>
  (view: View, child?: string): readonly Subject[] =>
    (child ? [child] : view.children).filter((c) => applies(c, view)).map((c) => ({ child: c }));

/** The child of a subject that has one by construction. */
export function childOf(subject: Subject): string {
  if (!subject.child) throw new Error('this question is about a child');
  return subject.child;
}
