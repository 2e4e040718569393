import ical, { ICalCalendarMethod } from 'ical-generator';
import type { Request, Response, Server } from 'restify';
import type { Clock } from '#src/clock.ts';
import { send, sendError } from '#src/http/respond.ts';
import { get } from '#src/http/routes.ts';
import type { CheckEvent } from '#src/store/events.ts';
import type { Store } from '#src/store/store.ts';
import { type CalendarLinks, calendarPath } from './calendar-links.ts';

export interface CalendarDeps {
  readonly store: Pick<Store, 'events' | 'arrivals'>;
  readonly clock: Clock;
  readonly links: Pick<CalendarLinks, 'hashOf'>;
}

const MINUTE_MS = 60_000;

/** A family's time as an iCalendar file (RFC 5545); in UTC, which every calendar shows by the clocks of its reader. */
function calendarFile(id: string, { name, place }: CheckEvent, start: string, minutes: number, now: Date): string {
  const begins = new Date(start);
  const calendar = ical({ prodId: { company: 'Lapwing', product: 'seat check' }, method: ICalCalendarMethod.PUBLISH });
  calendar.createEvent({
    id,
    stamp: now,
    start: begins,
    end: new Date(begins.getTime() + minutes * MINUTE_MS),
    summary: name,
    location: place,
  });
  return calendar.toString();
}

/** Serves a family's time at its private address; 404 once it was given back or the family's data deleted. */
export function registerCalendar(server: Server, { store, clock, links }: CalendarDeps): void {
  get(server, calendarPath(':token'), async (req: Request, res: Response) => {
    const booked = await store.arrivals.linked(links.hashOf(String(req.params.token)));
    const event = booked && (await store.events.byId(booked.eventId));
    if (!booked || !event) return sendError(res, 404, 'NotFound', 'There is no time at this address any more.');
    const { start, minutes } = booked.stay;
    send(res, 200, 'text/calendar; charset=utf-8', calendarFile(booked.id, event, start, minutes, clock()), {
      'Cache-Control': 'no-store',
      'Content-Disposition': 'attachment; filename="seat-check.ics"',
      'X-Robots-Tag': 'noindex',
    });
  });
}
