import { transition } from 'xstate';
import { assess } from '#shared/assess.ts';
import type { Assessment } from '#shared/assessment.ts';
import type { Case } from '#shared/case.ts';
import type { Stay } from '#shared/events/free-times.ts';
import { minutesOfAll } from './another-car.ts';
import { bookingAfter, shownTimes } from './booking.ts';
import { compose } from './compose.ts';
import { dangerNews } from './dangers.ts';
import type { Ears } from './ears.ts';
import type { EventTimes } from './event-times.ts';
import { intakeMachine } from './intake.machine.ts';
import { freshContext } from './intake-context.ts';
import { interpret } from './interpret.ts';
import { type Message, standingAsk } from './interpretation.ts';
import type { Phrase, Reply } from './reply.ts';
import { SNAPSHOT_VERSION, type Snapshot, snapshotOf, stateOf } from './snapshot.ts';
import type { Language } from './understanding/types.ts';
import { caseOf } from './view.ts';

/** One step of the conversation: what is stored, what is said, and what the technician may see. */
export interface Step {
  readonly snapshot: Snapshot;
  readonly reply: Reply;
  readonly case: Case;
  readonly assessment: Assessment;
  /** The time to be booked at the event with this step; null: given back; absent: as it was. */
  readonly booking?: Stay | null;
}

export interface Start {
  readonly language: Language;
  /** False where nobody chose the language yet, so that it is asked first. */
  readonly languageKnown: boolean;
  readonly eventId: string | null;
  readonly reference: string;
  readonly today: string;
}

/** Dangers are said while the talk is on; before consent too, since nothing leaves the conversation by that. */
function finish(snapshot: Snapshot, lead: readonly Phrase[], times: EventTimes | null = null): Step {
  const theCase = caseOf(snapshot.context);
  const assessment = assess(theCase);
  const dangers = dangerNews(assessment, snapshot.context.told, snapshot.context.reopened !== null);
  const { timesShown: _, ...known } = snapshot.context;
  const shown = shownTimes(snapshot.value, known, times, minutesOfAll(known, assessment));
  const context = { ...known, ...shown, told: [...dangers.told] };
  const reply = compose(snapshot.value, context, assessment, lead, dangers, times);
  return { snapshot: { ...snapshot, context }, reply, case: theCase, assessment };
}

/** Opens a conversation: the greeting and the first question. */
export function begin({ language, languageKnown, eventId, reference, today }: Start): Step {
  const value = languageKnown ? 'consenting' : 'choosingLanguage';
  const snapshot = {
    version: SNAPSHOT_VERSION,
    value,
    context: freshContext(language, eventId, today, reference),
  } as const;
  return finish(snapshot, [{ key: 'greeting.hello' }, { key: 'caution.not-a-substitute' }]);
}

interface Heard {
  readonly snapshot: Snapshot;
  readonly lead: readonly Phrase[];
}

function hear(snapshot: Snapshot, message: Message, ears: Ears, times: EventTimes | null): Heard {
  const { value, context } = snapshot;
  const { event, lead, again } = interpret({ value, context, ask: standingAsk(value, context), times }, message, ears);
  if (!event) return { snapshot, lead };
  const [state] = transition(intakeMachine, stateOf(snapshot), event);
  const after = snapshotOf(state);
  if (again === undefined) return { snapshot: after, lead };
  // Words that still say nothing in their own language are not held against the caregiver.
  const reheard = hear(after, { text: again, choiceIds: [] }, ears, times);
  // Words that chose a language are no consent.
  if (after.value === 'consenting' && ['refused', 'resuming', 'asking'].includes(reheard.snapshot.value))
    return { snapshot: after, lead };
  return reheard.snapshot.context.answers.length > after.context.answers.length ||
    reheard.snapshot.value !== after.value
    ? reheard
    : { snapshot: after, lead };
}

/**
 * Takes one message. Pure: the same snapshot, message, day and times at the event give the same step. `times`: null where
 * the family's event has none to give.
 */
export function step(
  before: Snapshot,
  message: Message,
  today: string,
  ears: Ears,
  times: EventTimes | null = null,
): Step {
  // What is booked is what the store says, whoever changed it.
  const booked = times && { slot: times.booked ?? undefined };
  const context = { ...before.context, ...booked, today, turn: before.context.turn + 1 };
  const { snapshot, lead } = hear({ ...before, context }, message, ears, times);
  const after = finish(snapshot, lead, times);
  return times ? { ...after, ...bookingAfter(times.booked, snapshot.context.slot) } : after;
}

/** A stored snapshot as a step without words: the case and the assessment as they stand. */
export function standing(snapshot: Snapshot): Omit<Step, 'reply'> {
  const theCase = caseOf(snapshot.context);
  return { snapshot, case: theCase, assessment: assess(theCase) };
}

const moved = (before: Snapshot, type: 'TAKE_OVER' | 'RESUME', today: string): Snapshot => {
  const context = { ...before.context, today, turn: before.context.turn + 1 };
  return snapshotOf(transition(intakeMachine, stateOf({ ...before, context }), { type })[0]);
};

/** A technician has the conversation: the bot offers the way back to the questions and is silent. */
export function takenOver(before: Snapshot, today: string): Step {
  const step = finish(moved(before, 'TAKE_OVER', today), []);
  // What was not said is not told yet: it is said when the bot has the conversation again.
  const context = { ...step.snapshot.context, told: before.context.told };
  return { ...step, snapshot: { ...step.snapshot, context }, reply: { ...step.reply, say: [], told: [] } };
}

/** The technician hands the conversation back: the bot goes on with what is still to be asked. */
export const handedBack = (before: Snapshot, today: string): Step => finish(moved(before, 'RESUME', today), []);

const WAITING_FOR_A_PERSON: ReadonlySet<string> = new Set(['person.told', 'person.passed-on', 'caution.drive']);

/** The same step where a technician answers already: nothing is said of passing on; an emergency is answered at once. */
export function besidePerson(step: Step): Step {
  const { say } = step.reply;
  const urgent = say.some(({ key }) => key === 'say.emergency');
  const left = urgent ? say : say.filter(({ key }) => !WAITING_FOR_A_PERSON.has(key));
  return step.snapshot.value === 'withPerson' ? { ...step, reply: { ...step.reply, say: left } } : step;
}
