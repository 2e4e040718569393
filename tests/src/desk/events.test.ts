import { describe, expect, it } from 'vitest';
import { anEvent } from '../../factories/event.ts';
import { aSummary } from '../../factories/summary.ts';
import { aTurn } from '../../factories/turn.ts';
import { openDesk } from './open-desk.ts';

const TYPED = {
  name: 'Spring seat check',
  place: 'Fire station yard',
  heldOn: '2026-05-20',
  timeZone: 'america/los angeles',
  timed: 'yes',
  opensAt: '09:00',
  closesAt: '11:00',
  stepMinutes: '30',
  technicians: '2',
  language: 'es',
};
const SPRING = anEvent({
  hours: { opensAt: '09:00', closesAt: '11:00', stepMinutes: 30, technicians: 1 },
});
const HOSTILE = `"><script>alert(1)</script>=1+1\u202Eevil\u0007`;

async function withEvent() {
  const desk = await openDesk();
  await desk.store.events.add(SPRING);
  return { desk, lead: await desk.as('coordinator') };
}

const edit = { ...TYPED, name: 'Spring', place: 'Yard', version: '1', technicians: '1' };

describe('making an event', () => {
  it('keeps what was typed, under an address made of its name', async () => {
    const desk = await openDesk();
    const lead = await desk.as('coordinator');
    const made = await lead.send('/desk/events/new', TYPED);
    expect(made.status).toBe(303);
    const [event] = await desk.store.events.list();
    expect(event).toEqual({
      id: expect.stringMatching(/^spring-seat-check-[a-z2-9]{4}$/),
      name: 'Spring seat check',
      place: 'Fire station yard',
      timeZone: 'America/Los_Angeles',
      heldOn: '2026-05-20',
      languages: ['es'],
      hours: { opensAt: '09:00', closesAt: '11:00', stepMinutes: 30, technicians: 2 },
      version: 1,
    });
    expect((await lead.get('/desk/events')).html).toContain('Wednesday, May 20, 2026, 9:00');
    expect((await desk.store.audit.of(event?.id ?? '')).map(({ action }) => action)).toEqual(['event-made']);
  });

  it('without times needs no hours', async () => {
    const desk = await openDesk();
    const lead = await desk.as('coordinator');
    await lead.send('/desk/events/new', { ...TYPED, name: '座椅检查', timed: 'no', opensAt: '', technicians: 'x' });
    expect(await desk.store.events.list()).toMatchObject([{ id: expect.stringMatching(/^event-/), hours: null }]);
  });

  it.each([
    ['no name', { name: ' \u202e ' }, 'Enter a name'],
    ['a name past all measure', { name: 'x'.repeat(121) }, 'Enter a name'],
    ['no place', { place: '' }, 'Enter a place'],
    ['a day that is none', { heldOn: '2026-02-30' }, 'Enter the day'],
    ['a day that is over', { heldOn: '2026-05-15' }, 'This day is over'],
    ['a time zone that is none', { timeZone: 'Mars/Olympus' }, 'Choose a time zone'],
    ['a time that is none', { opensAt: '25:00' }, 'Enter a time'],
    ['closing before it opens', { closesAt: '08:00' }, 'The event must close'],
    ['an unknown step', { stepMinutes: '7' }, 'Choose how far apart'],
    ['nobody to see families', { technicians: '0' }, 'Enter a number'],
    ['nothing said about times', { timed: '' }, 'Say whether'],
  ])('is refused for %s, with what was typed kept', async (_, wrong, words) => {
    const desk = await openDesk();
    const lead = await desk.as('coordinator');
    const { status, html } = await lead.send('/desk/events/new', { ...TYPED, place: 'Kept yard', ...wrong });
    expect([status, html.split(words).length > 1]).toEqual([422, true]);
    const [field = ''] = Object.keys(wrong);
    if (field !== 'timed') expect(html).toMatch(new RegExp(`id="${field}"[^>]*aria-invalid="true"`));
    if (field !== 'place') expect(html).toContain('value="Kept yard"');
    expect(await desk.store.events.list()).toEqual([]);
  });

  it('is for coordinators alone', async () => {
    const { desk } = await withEvent();
    const sam = await desk.as('technician');
    for (const path of ['/desk/events/new', '/desk/events/spring/edit']) expect((await sam.get(path)).status).toBe(403);
    const { html } = await sam.get('/desk/events');
    expect([html.includes('Spring'), html.includes('/edit')]).toEqual([true, false]);
    expect((await (await desk.as('technician', [])).get('/desk/events')).html).not.toContain('Spring');
  });

  it('takes hostile text as text, without what turns it around', async () => {
    const desk = await openDesk();
    const lead = await desk.as('coordinator');
    await lead.send('/desk/events/new', { ...TYPED, name: HOSTILE, place: HOSTILE });
    const [event] = await desk.store.events.list();
    expect(event?.name).toBe('"><script>alert(1)</script>=1+1 evil');
    for (const path of ['/desk/events', `/desk/events/${event?.id}/edit`]) {
      const { html } = await lead.get(path);
      expect(html.match(/<script/g)).toHaveLength(1);
      expect(html).toContain('&lt;script&gt;');
      expect(html).not.toContain('\u202e');
    }
  });
});

describe('changing an event', () => {
  it('that somebody else changed meanwhile loses nothing: both are shown, and saving again replaces', async () => {
    const { desk, lead } = await withEvent();
    const other = await desk.as('coordinator');
    expect((await other.send('/desk/events/spring/edit', { ...edit, place: 'Town hall' })).status).toBe(303);
    const stale = await lead.send('/desk/events/spring/edit', { ...edit, name: 'Spring check', version: '1' });
    expect(stale.status).toBe(409);
    expect(stale.html).toContain('value="Spring check"');
    expect(stale.html).toMatch(/id="place-saved">Somebody else saved: <b><bdi>Town hall/);
    expect(stale.html).toContain('name="version" value="2"');
    expect(await desk.store.events.byId('spring')).toMatchObject({ name: 'Spring', place: 'Town hall' });
    await lead.send('/desk/events/spring/edit', { ...edit, name: 'Spring check', version: '2' });
    expect(await desk.store.events.byId('spring')).toMatchObject({ name: 'Spring check', place: 'Yard', version: 3 });
  });

  it('to hours outside of which families booked is told, by family, and done only on purpose', async () => {
    const { desk, lead } = await withEvent();
    const summary = aSummary({ reference: 'LATE-ONE', event: 'spring' });
    const booking = { start: '2026-05-20T17:30:00.000Z', minutes: 30, linkHash: null };
    await desk.store.conversations.commit(aTurn({ eventId: 'spring', summary, booking }));
    const shorter = { ...edit, closesAt: '10:30' };
    const told = await lead.send('/desk/events/spring/edit', shorter);
    expect(told.status).toBe(409);
    expect(told.html).toMatch(/The time of 1 family would not fit/);
    expect(told.html).toMatch(/10:30.AM PDT, 30 min: <a href="\/desk\/cases\/LATE-ONE\/thread">/);
    expect(told.html).toContain('value="10:30"');
    expect(await desk.store.events.byId('spring')).toMatchObject({ version: 1, hours: { closesAt: '11:00' } });
    expect((await lead.send('/desk/events/spring/edit', { ...shorter, keep: 'yes' })).status).toBe(303);
    expect(await desk.store.events.byId('spring')).toMatchObject({ hours: { closesAt: '10:30' } });
    expect(await desk.store.arrivals.of('k1')).toMatchObject({ stay: { start: booking.start } });
    // What was decided once is not asked again at the next change.
    expect((await lead.send('/desk/events/spring/edit', { ...shorter, name: 'S', version: '2' })).status).toBe(303);
  });

  it('shows who sees families at it, and nobody else', async () => {
    const { desk, lead } = await withEvent();
    for (const [role, events] of [
      ['technician', ['spring']],
      ['technician', ['other']],
      ['read-only', null],
    ] as const)
      await desk.as(role, events);
    const team = /<section aria-labelledby="team">[\s\S]*?<\/section>/.exec(
      (await lead.get('/desk/events/spring/edit')).html,
    )?.[0];
    expect(team?.match(/<bdi>[^<]+/g)).toEqual(['<bdi>coordinator 1', '<bdi>technician 2']);
  });

  it('of a day that is over may keep that day', async () => {
    const { desk, lead } = await withEvent();
    await desk.store.events.add({ ...SPRING, id: 'old', heldOn: '2026-04-01' });
    expect((await lead.send('/desk/events/old/edit', { ...edit, heldOn: '2026-04-01' })).status).toBe(303);
    expect((await lead.get('/desk/events/none/edit')).status).toBe(404);
  });
});
