import ical, { type ICalCalendar, ICalCalendarMethod, ICalEventTransparency } from 'ical-generator';
import { openFromTo } from '#shared/events/free-times.ts';
import type { OwnTime } from '#src/store/board.ts';
import { type CheckEvent, heldOf } from '#src/store/events.ts';
import type { Access } from '#src/store/people.ts';
import type { Store } from '#src/store/store.ts';

const MINUTE_MS = 60_000;
const DAY_MS = 24 * 60 * MINUTE_MS;
/** How often calendars should look again; the board moves on the day itself. */
const REFRESH_SECONDS = 15 * 60;

/** Words of the file, in the desk's language. */
export interface CalendarWords {
  readonly title: string;
  /** A family: its reference, or what stands for one that has none, and the minutes it needs. */
  family(reference: string | null, minutes: number): string;
}

/** A day or the opening hours: it does not make its reader busy, the families do. */
function addEvent(calendar: ICalCalendar, { id, name, place, heldOn, ...event }: CheckEvent, stamp: Date): void {
  const held = heldOf({ id, name, place, heldOn, ...event });
  const times = held
    ? { start: new Date(openFromTo(held)[0]), end: new Date(openFromTo(held)[1]) }
    : { start: new Date(heldOn), end: new Date(Date.parse(heldOn) + DAY_MS), allDay: true, timezone: 'UTC' };
  calendar.createEvent({
    id: `event-${id}`,
    stamp,
    ...times,
    summary: name,
    location: place,
    transparency: ICalEventTransparency.TRANSPARENT,
  });
}

function addFamily(
  calendar: ICalCalendar,
  { id, start, minutes, reference, changedAt }: OwnTime,
  { place }: CheckEvent,
  words: CalendarWords,
  stamp: Date,
): void {
  const begins = new Date(start);
  calendar.createEvent({
    id,
    stamp,
    lastModified: new Date(changedAt),
    start: begins,
    end: new Date(begins.getTime() + minutes * MINUTE_MS),
    summary: words.family(reference, minutes),
    location: place,
  });
}

/**
 * What somebody's calendar shows (RFC 5545): the events that the account sees, and in them the families that it took on,
 * by reference and minutes. Nothing of a family but that stands in it, since calendars are kept by others.
 */
export async function teamCalendar(
  store: Pick<Store, 'events' | 'board'>,
  { accountId, eventIds }: Pick<Access, 'eventIds'> & { readonly accountId: string },
  words: CalendarWords,
  now: Date,
): Promise<string> {
  const seen = (await store.events.list()).filter(({ id }) => eventIds === null || eventIds.includes(id));
  const calendar = ical({
    prodId: { company: 'Lapwing', product: 'seat checks' },
    method: ICalCalendarMethod.PUBLISH,
    name: words.title,
    ttl: REFRESH_SECONDS,
  });
  for (const event of seen) addEvent(calendar, event, now);
  for (const time of await store.board.timesOf(accountId)) {
    const event = seen.find(({ id }) => id === time.eventId);
    if (event) addFamily(calendar, time, event, words, now);
  }
  return calendar.toString();
}
