import { choicesAfterSending } from './booking.ts';
import { type EventTimes, timeId, timesOnOffer } from './event-times.ts';
import type { IntakeContext } from './intake-context.ts';
import type { Choice, Phrase, Quantity } from './reply.ts';

const own = (id: string): Choice => ({ id, phrase: { key: `choice.slot.${id}` } });

const date = (times: EventTimes): Quantity => ({ kind: 'date', date: times.heldOn });
const time = (at: string, { timeZone }: EventTimes): Quantity => ({ kind: 'time', at, timeZone });

/** Asks for a time. */
export function bookingTurn({ timesAfter }: IntakeContext, times: EventTimes | null, minutes: number) {
  const none: Choice = { id: 'none', phrase: { key: 'choice.none' } };
  const asking = 'slot';
  if (!times) return { asking, say: [{ key: 'slot.none-now' }], choices: [own('later')] };
  const values = { date: date(times), place: times.place, minutes: { kind: 'minutes' as const, count: minutes } };
  return {
    asking,
    say: [{ key: 'question.slot', values }],
    choices: [
      ...timesOnOffer(times, minutes, timesAfter).starts.map((start) => ({
        id: timeId(start),
        phrase: { key: 'slot.time', values: { time: time(start, times) } },
      })),
      none,
      own('later'),
    ],
  };
}

/** What is said of the time once the summary was sent. */
export function sentTimes(
  context: IntakeContext,
  times: EventTimes | null,
  minutes: number,
): { readonly say: readonly Phrase[]; readonly choices: readonly Choice[] } {
  if (!times) return { say: [], choices: [] };
  const { slot } = context;
  const choices = choicesAfterSending(context, times, minutes).map(own);
  if (!slot) return { say: [{ key: choices.length > 0 ? 'slot.none-yet' : 'slot.full' }], choices };
  return {
    say: [
      { key: 'slot.booked', values: { date: date(times), time: time(slot.start, times), place: times.place } },
      ...(times.link ? [{ key: 'slot.calendar', values: { link: times.link } }] : []),
    ],
    choices,
  };
}
