import type { EventTimes } from '#dialogs/event-times.ts';
import { freeTimes, slotStarts } from '#shared/events/free-times.ts';
import type { Clock } from '#src/clock.ts';
import { heldOf } from '#src/store/events.ts';
import type { Store } from '#src/store/store.ts';
import type { CalendarLinks } from './calendar-links.ts';

/** What a conversation of an event may know of its times; null where the event has none to give any more. */
export type ReadTimes = (conversationId: string, eventId: string) => Promise<EventTimes | null>;

export interface TimesDeps {
  readonly store: Pick<Store, 'events' | 'arrivals'>;
  readonly clock: Clock;
  /** Makes the private address of a family's calendar file; absent: there is none. */
  readonly links?: CalendarLinks;
}

/** Reads the times of events as they stand now. */
export function createReadTimes({ store, clock, links }: TimesDeps): ReadTimes {
  return async (conversationId, eventId) => {
    const event = await store.events.byId(eventId);
    const held = event && heldOf(event);
    if (!event || !held) return null;
    const now = clock().toISOString();
    const own = await store.arrivals.of(conversationId);
    // Whoever has come needs no time any more, and who did not come in time may take another.
    if (own?.state === 'arrived' || own?.state === 'done') return null;
    const free = freeTimes(held, await store.arrivals.taken(eventId, { conversationId }));
    const toCome = free.filter(({ start }) => start > now);
    const booked = own?.state === 'booked' && own.stay && own.stay.start > now ? own.stay : null;
    if ((slotStarts(held).at(-1) ?? '') <= now) return null;
    return {
      place: event.place,
      heldOn: event.heldOn,
      timeZone: event.timeZone,
      free: toCome,
      booked,
      link: links?.linkOf(conversationId) ?? null,
    };
  };
}
