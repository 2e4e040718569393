import { assess } from '#shared/assess.ts';
import type { Stay } from '#shared/events/free-times.ts';
import { minutesOfAll } from './another-car.ts';
import { isBrief } from './brief.ts';
import { chosenIn } from './choosing.ts';
import type { Ears } from './ears.ts';
import { type EventTimes, isTimeId, longEnough, timeId, timesNamed, timesOnOffer } from './event-times.ts';
import type { IntakeEvent } from './events.ts';
import { hearOpen } from './hear-answer.ts';
import type { IntakeContext } from './intake-context.ts';
import { hasValues, type Interpretation, just, type Message, type Part, type Standing, say } from './interpretation.ts';
import { normalise } from './understanding/normalise.ts';
import { viewOf } from './view.ts';

const OF_SENT = ['choose-time', 'change-time', 'cancel-time'];
/** A message that names a time says little else. */
const LONGEST = 6;

/** How long the visit takes by what is known now. */
export const minutesNeeded = (context: IntakeContext): number => minutesOfAll(context, assess(viewOf(context).case));

/** What stands as choices after sending, beside the words. */
export function choicesAfterSending(context: IntakeContext, times: EventTimes | null, minutes: number): string[] {
  if (!times) return [];
  const free = longEnough(times, minutes).some((start) => start !== context.slot?.start);
  if (context.slot) return [...(free ? ['change-time'] : []), 'cancel-time'];
  return free ? ['choose-time'] : [];
}

/** Agrees to the sending; where times are on offer and the family has none, one is asked for next. */
export function sending(context: IntakeContext, times: EventTimes | null): IntakeEvent {
  if (!times) return { type: 'SEND' };
  const minutes = minutesNeeded(context);
  const { slot } = context;
  if (!slot) return longEnough(times, minutes).length > 0 ? { type: 'SEND', choosing: true } : { type: 'SEND' };
  // The visit may need other minutes by now; where there is no room for more, the board says so.
  const fits = times.free.some((stay) => stay.start === slot.start && stay.minutes >= minutes);
  return { type: 'SEND', slot: { start: slot.start, minutes: fits ? minutes : slot.minutes } };
}

const NOT_FREE: Interpretation = just({ type: 'CHOOSE_TIME' }, { key: 'slot.not-free' });

function bookedBy(start: string | undefined, times: EventTimes, minutes: number): Interpretation {
  const free = longEnough(times, minutes).find((each) => timeId(each) === start || each === start);
  return free === undefined ? NOT_FREE : just({ type: 'BOOK', slot: { start: free, minutes } });
}

/** The one thing of the group that the words name. */
function wish({ text, choiceIds }: Message, language: IntakeContext['language'], ears: Ears): string | undefined {
  const named = choiceIds.length > 0 ? choiceIds : ears.keywords(text, language, 'slot');
  return named.length === 1 ? named[0] : undefined;
}

function halfOf(text: string, language: IntakeContext['language'], ears: Ears): 'am' | 'pm' | null {
  const [half, ...more] = ears.keywords(text, language, 'half-day');
  return more.length === 0 && (half === 'am' || half === 'pm') ? half : null;
}

/** None of the times on screen: the next ones, or it is noted that none suits. */
function noneSuits(context: IntakeContext, times: EventTimes, { text }: Message): Interpretation {
  const last = context.timesShown?.at(-1);
  const further = last !== undefined && longEnough(times, minutesNeeded(context)).some((start) => start > last);
  if (further) return just({ type: 'MORE_TIMES', after: last });
  const words = { asking: 'slot', text, values: { chosen: ['none'] } };
  return just({ type: 'NO_TIME', words }, { key: 'slot.none-fits' });
}

/** While a time is asked for. */
function whileChoosing(standing: Standing, times: EventTimes, message: Message, ears: Ears): Interpretation | null {
  const { context } = standing;
  const minutes = minutesNeeded(context);
  const shown = context.timesShown ?? [];
  const offer = { choices: [...shown.map(timeId), 'none', 'later'], many: false, numeric: false };
  const id = chosenIn(message.choiceIds[0] ?? message.text, offer)?.[0];
  const all = longEnough(times, minutes);
  const means = id ?? wish(message, context.language, ears);
  if (means !== undefined && isTimeId(means)) return bookedBy(means.toUpperCase(), times, minutes);
  if (means === 'later') return just({ type: 'NO_TIME' }, { key: 'slot.later' });
  if (means === 'none') return noneSuits(context, times, message);
  if (means === 'first' || means === 'last') return bookedBy(means === 'first' ? all[0] : all.at(-1), times, minutes);
  if (message.choiceIds.length > 0 || !isBrief(message.text, LONGEST)) return null;
  const half = halfOf(message.text, context.language, ears);
  const said = timesNamed(normalise(message.text), all, times.timeZone, half, isBrief(message.text, 2));
  if (said.starts.length === 1) return bookedBy(said.starts[0], times, minutes);
  return said.named && said.starts.length === 0 ? NOT_FREE : null;
}

/** After the summary was sent: a time chosen late, changed or given back. */
function afterSending(standing: Standing, times: EventTimes, message: Message, ears: Ears): Interpretation | null {
  const { context } = standing;
  const minutes = minutesNeeded(context);
  const offer = { choices: choicesAfterSending(context, times, minutes), many: false, numeric: false };
  const id = chosenIn(message.choiceIds[0] ?? message.text, offer)?.[0] ?? wish(message, context.language, ears);
  if (id === undefined) return null;
  const other = id === 'none' && context.slot !== undefined && message.choiceIds.length === 0;
  if (isTimeId(id)) return bookedBy(id.toUpperCase(), times, minutes);
  if (!OF_SENT.includes(id) && !other) return null;
  if (id === 'cancel-time') return context.slot ? just({ type: 'CANCEL_TIME' }) : say({ key: 'slot.none-yet' });
  return longEnough(times, minutes).length > 0 ? just({ type: 'CHOOSE_TIME' }) : say();
}

/** Times at the event, heard before commands: "change my time" changes no answer. */
export const hearTimes: Part = (standing, message, reading, ears) => {
  const { value, times } = standing;
  if (!times) return null;
  if (value === 'sent') return hasValues(reading) ? null : afterSending(standing, times, message, ears);
  if (value !== 'booking') return null;
  if (reading.intent === 'why' || reading.intent === 'help') return say({ key: 'why.slot' }, { key: 'how.slot' });
  return hasValues(reading) && message.choiceIds.length === 0 && !isBrief(message.text, 2)
    ? null
    : whileChoosing(standing, times, message, ears);
};

/** What else may be said while a time is asked for. */
export const booking: Part = (standing, message, reading, ears) => {
  if (!standing.times) return just({ type: 'NO_TIME' });
  const { context, times } = standing;
  const unsure = reading.values.answer === 'unsure' || reading.intent === 'unsure';
  if (unsure && isBrief(message.text, LONGEST)) return just({ type: 'NO_TIME' }, { key: 'slot.later' });
  if (reading.values.answer === 'no' && isBrief(message.text, LONGEST)) return noneSuits(context, times, message);
  return hearOpen(standing, message, ears, 'slot');
};

/** What the step asks to be booked, given back, or left as it is. */
export function bookingAfter(before: Stay | null, after: Stay | undefined): { readonly booking?: Stay | null } {
  if (before?.start === after?.start && before?.minutes === after?.minutes) return {};
  return { booking: after ?? null };
}

/** The times as they stand in the turn, kept so that a number means what was shown. */
export const shownTimes = (value: string, context: IntakeContext, times: EventTimes | null, minutes: number) =>
  value === 'booking' && times ? { timesShown: [...timesOnOffer(times, minutes, context.timesAfter).starts] } : {};
