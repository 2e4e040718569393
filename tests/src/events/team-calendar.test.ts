import ICAL from 'ical.js';
import { describe, expect, it } from 'vitest';
import type { NewEvent } from '#src/store/events.ts';
import { aSummary } from '../../factories/summary.ts';
import { aTurn } from '../../factories/turn.ts';
import { type OpenDesk, openDesk } from '../desk/open-desk.ts';

const hours = { opensAt: '09:00', closesAt: '12:00', stepMinutes: 30, technicians: 2 } as const;
const place = { place: 'Town hall yard; "east", gate 2', timeZone: 'America/New_York' };
// The clocks of New York go back on 1 November 2026 (US Energy Policy Act of 2005): 9:00 is 13:00 UTC before, 14:00 after.
const BEFORE: NewEvent = { id: 'before', name: 'Saturday check', heldOn: '2026-10-31', hours, ...place };
const AFTER: NewEvent = { id: 'after', name: 'Sunday check', heldOn: '2026-11-01', hours, ...place };
const UNTIMED: NewEvent = { id: 'open', name: 'Open day', heldOn: '2026-11-02', ...place };
const SECRETS = /Wren|grey one|two and a bit|blue van|mum@example\.org/;

async function withFamilies() {
  const desk = await openDesk();
  for (const event of [BEFORE, AFTER, UNTIMED]) await desk.store.events.add(event);
  const sam = await desk.as('technician');
  const take = async (eventId: string, id: string, start: string) => {
    const summary = aSummary({ reference: `R-${id}`, event: eventId, notes: 'mum@example.org' });
    const booking = { start, minutes: 30, linkHash: null };
    await desk.store.conversations.commit(aTurn({ conversationId: id, replyId: `r-${id}`, eventId, summary, booking }));
    const { arrivals } = await desk.store.arrivals.list(eventId, { pageSize: 9, page: 0 });
    const line = arrivals.find(({ family }) => family?.reference === `R-${id}`);
    await desk.store.board.assign(eventId, line?.id ?? '', null, sam.accountId);
  };
  await take('before', 'k1', '2026-10-31T13:00:00.000Z');
  await take('after', 'k2', '2026-11-01T14:00:00.000Z');
  const walkIn = { id: '7d7d7b7e-1d2c-4f57-9a3e-0a4b2b1f0c11', name: 'blue van', language: 'so', interpreter: false };
  await desk.store.arrivals.addWalkIn('after', { ...walkIn, minutes: 30, start: '2026-11-01T15:00:00.000Z' });
  await desk.store.board.assign('after', walkIn.id, null, sam.accountId);
  return { desk, sam };
}

/** The entries of a file, as another reader of the format understands them. */
function entriesOf(text: string) {
  const calendar = new ICAL.Component(ICAL.parse(text));
  return calendar.getAllSubcomponents('vevent').map((one) => {
    const event = new ICAL.Event(one);
    return {
      uid: event.uid,
      summary: event.summary,
      location: event.location,
      day: event.startDate.isDate,
      start: event.startDate.isDate ? event.startDate.toString() : event.startDate.toJSDate().toISOString(),
      minutes: event.duration.toSeconds() / 60,
    };
  });
}

const linkIn = (html: string): string => new URL(/id="link"[^>]*value="([^"]+)"/.exec(html)?.[1] ?? '').pathname;
const at = (desk: OpenDesk, path: string) => fetch(desk.url + path);

describe("a technician's calendar file", () => {
  it('has events and own families at the hour of the place, before and after the clocks change', async () => {
    const { sam } = await withFamilies();
    const file = await sam.get('/desk/calendar.ics');
    expect(file.headers.get('content-type')).toBe('text/calendar; charset=utf-8');
    const entries = entriesOf(file.html);
    expect(entries.map(({ summary, start, minutes }) => [summary, start, minutes])).toEqual([
      ['Saturday check', '2026-10-31T13:00:00.000Z', 180],
      ['Sunday check', '2026-11-01T14:00:00.000Z', 180],
      ['Open day', '2026-11-02', 24 * 60],
      ['R-k1, 34 min', '2026-10-31T13:00:00.000Z', 34],
      ['R-k2, 34 min', '2026-11-01T14:00:00.000Z', 34],
      ['family without a reference, 30 min', '2026-11-01T15:00:00.000Z', 30],
    ]);
    const hour = new Intl.DateTimeFormat('en-US', { timeZone: 'America/New_York', hour: 'numeric' });
    for (const { start } of entries.slice(3, 5)) expect(hour.format(new Date(start))).toBe('9 AM');
    expect(new Set(entries.map(({ location }) => location))).toEqual(new Set([place.place]));
    expect(new Set(entries.map(({ uid }) => uid)).size).toBe(entries.length);
  });

  it('holds nothing of a family but its reference and minutes', async () => {
    const { sam } = await withFamilies();
    expect((await sam.get('/desk/calendar.ics')).html).not.toMatch(SECRETS);
  });

  it('leaves out what is no longer theirs: given back, not come, or of an event they do not see', async () => {
    const { desk, sam } = await withFamilies();
    const summaries = async () => entriesOf((await sam.get('/desk/calendar.ics')).html).map(({ summary }) => summary);
    const { arrivals } = await desk.store.arrivals.list('before', { pageSize: 1, page: 0 });
    await desk.store.arrivals.mark('before', arrivals[0]?.id ?? '', 'booked', 'no-show');
    expect(await summaries()).not.toContain('R-k1, 34 min');
    await desk.store.people.change(sam.accountId, { role: 'technician', eventIds: ['before'] });
    expect(await summaries()).toEqual(['Saturday check']);
  });

  it('takes what an event is called as words, whatever they hold', async () => {
    const desk = await openDesk();
    const name = 'Check;\r\nEND:VCALENDAR\r\nBEGIN:VEVENT, "x" =1+1';
    await desk.store.events.add({ ...BEFORE, name });
    const entries = entriesOf((await (await desk.as('technician')).get('/desk/calendar.ics')).html);
    expect(entries.map(({ summary }) => summary.replace(/\s+/g, ' '))).toEqual([
      'Check; END:VCALENDAR BEGIN:VEVENT, "x" =1+1',
    ]);
  });
});

describe('the private link to it', () => {
  it('is shown once, reads without signing in, and ends when a new one is made or it is closed', async () => {
    const { desk, sam } = await withFamilies();
    const first = linkIn((await sam.send('/desk/calendar', { does: 'make' })).html);
    expect((await at(desk, first)).status).toBe(200);
    expect(entriesOf(await (await at(desk, first)).text())).toHaveLength(6);
    expect((await sam.get('/desk/calendar')).html).not.toContain('/team-calendar/');
    const second = linkIn((await sam.send('/desk/calendar', { does: 'make' })).html);
    expect([(await at(desk, first)).status, (await at(desk, second)).status]).toEqual([404, 200]);
    await sam.send('/desk/calendar', { does: 'close' });
    expect((await at(desk, second)).status).toBe(404);
    const actions = (await desk.store.audit.of(sam.accountId)).map(({ action }) => action);
    expect(actions).toEqual(['calendar-link-made', 'calendar-link-made', 'calendar-link-closed']);
  });

  it('ends with the account, and leads to nobody else', async () => {
    const { desk, sam } = await withFamilies();
    const link = linkIn((await sam.send('/desk/calendar', { does: 'make' })).html);
    expect((await at(desk, `${link.slice(0, -1)}x`)).status).toBe(404);
    const kim = await desk.as('technician');
    const other = await (await at(desk, linkIn((await kim.send('/desk/calendar', { does: 'make' })).html))).text();
    expect(entriesOf(other)).toHaveLength(3);
    await desk.store.people.setDisabled(sam.accountId, true);
    expect((await at(desk, link)).status).toBe(404);
    await desk.store.people.change(kim.accountId, { role: 'read-only', eventIds: null });
    expect((await kim.get('/desk/calendar')).status).toBe(403);
  });
});
