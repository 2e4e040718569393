import ICAL from 'ical.js';
import { describe, expect, it, onTestFinished } from 'vitest';
import { calendarLinks } from '#src/events/calendar-links.ts';
import { registerCalendar } from '#src/events/calendar-routes.ts';
import { openStore } from '#src/store/open-store.ts';
import { aTurn } from '../../factories/turn.ts';
import { startServer } from '../support/start-server.ts';

const NOW = new Date('2026-10-20T12:00:00Z');
const clock = () => NOW;

/** A family that booked the first time of an event; gives the path of its calendar file. */
async function booked(heldOn: string, start: string, names: { name: string; place: string }) {
  const store = await openStore({ dataDir: ':memory:', clock });
  const links = calendarLinks('a test secret that is long enough for anyone', () => '');
  const server = await startServer({
    clock,
    registerDesk: (restify) => {
      registerCalendar(restify, { store, clock, links });
      return undefined;
    },
  });
  onTestFinished(async () => {
    await server.stop();
    await store.close();
  });
  await store.events.add({
    id: 'autumn',
    timeZone: 'America/New_York',
    heldOn,
    hours: { opensAt: '09:00', closesAt: '12:00', stepMinutes: 30, technicians: 1 },
    ...names,
  });
  const turn = aTurn({ eventId: 'autumn' });
  const { conversationId } = turn;
  const booking = { start, minutes: 60, linkHash: links.hashFor(conversationId) };
  expect(await store.conversations.commit({ ...turn, booking })).toBe('committed');
  return { store, turn, url: server.url, path: links.linkOf(conversationId) };
}

const PLAIN = { name: 'Autumn seat check', place: 'Town hall yard' };

const read = (text: string) => new ICAL.Component(ICAL.parse(text));
const eventIn = (calendar: ICAL.Component) => new ICAL.Event(calendar.getFirstSubcomponent('vevent') ?? undefined);

describe('the calendar file of a family', () => {
  // The clocks of New York go back on 1 November 2026 (US Energy Policy Act of 2005): 9:00 is 13:00 UTC before, 14:00 after.
  it.each([
    ['2026-10-31', '2026-10-31T13:00:00.000Z'],
    ['2026-11-01', '2026-11-01T14:00:00.000Z'],
  ])('of %s has the hour of the place, as another reader of the format understands it', async (heldOn, start) => {
    const { url, path } = await booked(heldOn, start, PLAIN);
    const answer = await fetch(url + path);
    expect([answer.status, answer.headers.get('content-type')]).toEqual([200, 'text/calendar; charset=utf-8']);
    expect(answer.headers.get('cache-control')).toBe('no-store');
    const event = eventIn(read(await answer.text()));
    expect([event.summary, event.location]).toEqual([PLAIN.name, PLAIN.place]);
    expect(event.startDate.toJSDate().toISOString()).toBe(start);
    expect(event.duration.toSeconds()).toBe(3600);
    const hour = new Intl.DateTimeFormat('en-US', { timeZone: 'America/New_York', hour: 'numeric' });
    expect(hour.format(event.startDate.toJSDate())).toBe('9 AM');
  });

  it('takes what an event is called as words, whatever they hold', async () => {
    const hostile = { name: 'Check;\r\nEND:VCALENDAR, "x"', place: 'Yard\\; here, there' };
    const { url, path } = await booked('2026-10-31', '2026-10-31T13:00:00.000Z', hostile);
    const calendar = read(await (await fetch(url + path)).text());
    expect(calendar.getAllSubcomponents('vevent')).toHaveLength(1);
    const event = eventIn(calendar);
    expect(event.location).toBe(hostile.place);
    expect(event.summary.replace(/\s+/g, ' ')).toBe('Check; END:VCALENDAR, "x"');
  });

  it('is gone with the data of the family, and there is none at any other address', async () => {
    const { store, turn, url, path } = await booked('2026-10-31', '2026-10-31T13:00:00.000Z', PLAIN);
    expect((await fetch(`${url}${path}x`)).status).toBe(404);
    await store.conversations.commit({
      ...turn,
      expectedVersion: 1,
      state: 'deleted',
      incoming: { activityId: 'a2', text: 'delete' },
      replyId: 'r2',
    });
    expect((await fetch(url + path)).status).toBe(404);
  });
});
