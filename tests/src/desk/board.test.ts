import { describe, expect, it } from 'vitest';
import { anEvent } from '../../factories/event.ts';
import { aSummary, withPriority } from '../../factories/summary.ts';
import { aTurn } from '../../factories/turn.ts';
import { type Browsing, openDesk } from './open-desk.ts';

const SPRING = anEvent();
const HOSTILE = `"><script>alert(1)</script>=cmd|' /C calc'!A0\u202E`;
const BOARD = '/desk/events/spring';

const token = (html: string): string => /name="token" value="([^"]+)"/.exec(html)?.[1] ?? '';

/** A desk with one event; a family that booked nine o'clock and cannot wait, and one of the link without a time. */
async function withBoard() {
  const desk = await openDesk();
  await desk.store.events.add(SPRING);
  const urgent = withPriority('before-travel', { reference: 'BOOK-ED', event: 'spring' });
  const booking = { start: '2026-05-20T16:00:00.000Z', minutes: 30, linkHash: null };
  await desk.store.conversations.commit(aTurn({ eventId: 'spring', summary: urgent, booking, language: 'es' }));
  const other = aSummary({ reference: 'NO-TIME', event: 'spring' });
  await desk.store.conversations.commit(
    aTurn({ conversationId: 'k2', replyId: 'r2', eventId: 'spring', summary: other }),
  );
  const sam = await desk.as('technician', ['spring']);
  const lineOf = async (reference: string) => {
    const { arrivals } = await desk.store.arrivals.list('spring', { pageSize: 50, page: 0 });
    return arrivals.find(({ family }) => family?.reference === reference);
  };
  const does = async (
    browser: Browsing,
    reference: string,
    deed: string,
    shown?: { from?: string; holder?: string },
  ) => {
    const line = await lineOf(reference);
    return browser.post(`${BOARD}/arrivals/${line?.id}`, {
      token: token((await browser.get(BOARD)).html),
      does: deed,
      from: shown?.from ?? line?.state ?? '',
      holder: shown?.holder ?? line?.technicianId ?? '',
    });
  };
  return { desk, sam, lineOf, does };
}

/** The part of a board between its heading and the next one. */
const partOf = (html: string, id: string): string =>
  new RegExp(`<section aria-labelledby="${id}">[\\s\\S]*?</section>`).exec(html)?.[0] ?? '';

describe('the board of an event', () => {
  it('shows who is expected when by the clocks of the place, what cannot wait, languages and minutes', async () => {
    const { sam } = await withBoard();
    const { status, html } = await sam.get(BOARD);
    expect(status).toBe(200);
    const expected = partOf(html, 'expected');
    expect(expected).toMatch(/9:00.AM/);
    for (const words of ['BOOK-ED', 'Wren', 'Spanish', 'interpreter', '34 min', 'before-travel'])
      expect(expected).toContain(words);
    expect(partOf(html, 'unbooked')).toContain('NO-TIME');
    expect(partOf(html, 'here')).toContain('Nobody waits.');
    expect(html).toContain('Please keep in mind');
  });

  it('follows a family from its arrival to the signed record', async () => {
    const { desk, sam, does, lineOf } = await withBoard();
    const here = async () => partOf((await sam.get(BOARD)).html, 'here');
    expect((await does(sam, 'BOOK-ED', 'arrived')).headers.get('location')).toMatch(/^\/desk\/events\/spring#a-/);
    expect(await here()).toMatch(/here since 5:00.AM/);
    await does(sam, 'BOOK-ED', 'take');
    expect(await here()).toMatch(/with technician \d/);
    await desk.store.board.signed({ conversationId: 'k1', reference: 'BOOK-ED' });
    expect(await lineOf('BOOK-ED')).toMatchObject({ state: 'done', technicianId: sam.accountId });
    await does(sam, 'BOOK-ED', 'arrived');
    await does(sam, 'BOOK-ED', 'release');
    expect(await lineOf('BOOK-ED')).toMatchObject({ state: 'arrived', technicianId: null });
  });

  it('puts a family without a time among those who are there', async () => {
    const { sam, lineOf } = await withBoard();
    const come = async () =>
      sam.post(`${BOARD}/come`, { token: token((await sam.get(BOARD)).html), reference: 'NO-TIME' });
    expect((await come()).headers.get('location')).toBe(BOARD);
    expect((await come()).headers.get('location')).toBe(`${BOARD}?told=stale`);
    expect(await lineOf('NO-TIME')).toMatchObject({ state: 'arrived', start: null });
  });

  it('tells whoever was slower, and changes nothing of theirs', async () => {
    const { desk, sam, does, lineOf } = await withBoard();
    const kim = await desk.as('technician');
    await does(sam, 'BOOK-ED', 'take');
    const late = await does(kim, 'BOOK-ED', 'take', { holder: '' });
    expect(late.headers.get('location')).toBe(`${BOARD}?told=stale`);
    expect((await kim.get(`${BOARD}?told=stale`)).html).toContain('Somebody else was faster');
    expect(await lineOf('BOOK-ED')).toMatchObject({ technicianId: sam.accountId });
    // Who sees it now may be seen, and then taken over on purpose.
    await does(kim, 'BOOK-ED', 'take');
    expect(await lineOf('BOOK-ED')).toMatchObject({ technicianId: kim.accountId });
    await does(sam, 'BOOK-ED', 'no-show');
    expect((await does(kim, 'BOOK-ED', 'arrived', { from: 'booked' })).headers.get('location')).toContain('told=stale');
  });

  it('marks families whose times fell out of the hours', async () => {
    const { desk, sam } = await withBoard();
    const event = await desk.store.events.byId('spring');
    if (!event?.hours) throw new Error('no event');
    await desk.store.events.change({ ...event, hours: { ...event.hours, opensAt: '10:00' } }, true);
    expect(partOf((await sam.get(BOARD)).html, 'expected')).toContain('Outside the hours');
  });

  it('may be looked at, and no more, by who only looks; and not at all by who does not see the event', async () => {
    const { desk, does, lineOf } = await withBoard();
    const reader = await desk.as('read-only');
    const { html } = await reader.get(BOARD);
    expect(html).toContain('BOOK-ED');
    expect(html).not.toContain('class="deeds"');
    expect((await does(reader, 'BOOK-ED', 'arrived')).status).toBe(403);
    expect(await lineOf('BOOK-ED')).toMatchObject({ state: 'booked' });
    expect((await (await desk.as('technician', ['autumn'])).get(BOARD)).status).toBe(404);
    expect((await reader.get('/desk/events/none')).status).toBe(404);
  });
});

describe('a walk-in', () => {
  const add = async (browser: Browsing, fields: Record<string, string>) =>
    browser.post(`${BOARD}/walk-ins`, { token: token((await browser.get(BOARD)).html), minutes: '20', ...fields });

  it('is there at once, and its line gives a code for the interview in its language', async () => {
    const { desk, sam } = await withBoard();
    const added = await add(sam, { who: 'blue van', language: 'ar' });
    const page = added.headers.get('location') ?? '';
    const { html } = await sam.get(page);
    expect(html).toMatch(/<p class="scan" lang="ar" dir="rtl">/);
    const id = page.split('/').at(-1);
    expect(html).toContain(`/?event=spring&amp;lang=ar&amp;walkin=${id}`);
    expect(partOf((await sam.get(BOARD)).html, 'here')).toMatch(
      /blue van[\s\S]*no interview yet[\s\S]*Arabic[\s\S]*20 min/,
    );
    const summary = aSummary({ reference: 'WALK-IN', event: 'spring', language: 'ar' });
    const turn = aTurn({ conversationId: 'k3', replyId: 'r3', eventId: 'spring' });
    await desk.store.conversations.commit(turn);
    await desk.store.board.claim(String(id), 'k3');
    expect(partOf((await sam.get(BOARD)).html, 'here')).toContain('interview has begun');
    await desk.store.conversations.commit({
      ...turn,
      expectedVersion: 1,
      incoming: { activityId: 'b', text: '' },
      replyId: 'r4',
      summary,
    });
    const here = partOf((await sam.get(BOARD)).html, 'here');
    for (const words of ['blue van', 'WALK-IN', 'Wren', '34 min']) expect(here).toContain(words);
  });

  it.each([
    ['nobody', ''],
    ['only what is hidden', '\u202e\u0007 '],
    ['more than a word', 'x'.repeat(61)],
  ])('called %s is refused, with what was chosen kept', async (_, who) => {
    const { desk, sam } = await withBoard();
    const { status, html } = await add(sam, { who, language: 'ko' });
    expect(status).toBe(422);
    expect(html).toMatch(/<details class="walk-in" open>[\s\S]*<option value="ko" selected>/);
    expect((await desk.store.arrivals.counts('spring')).walkIns).toBe(0);
  });

  it('called something hostile is shown as text', async () => {
    const { sam } = await withBoard();
    const added = await add(sam, { who: HOSTILE, language: `"><img>`, minutes: '-1' });
    for (const path of [BOARD, added.headers.get('location') ?? '']) {
      const { html } = await sam.get(path);
      expect(html).toContain('&lt;script&gt;');
      expect(html.match(/<script/g)).toHaveLength(1);
      expect(html).not.toMatch(/<img|\u202e/);
    }
  });
});

describe('the workload', () => {
  it('says the same in its chart and in its table', async () => {
    const { html } = await (await withBoard()).sam.get(BOARD);
    const chart = /<svg class="bars"[\s\S]*?<\/svg>/.exec(html)?.[0] ?? '';
    const drawn = [...chart.matchAll(/>(\d+) \/ (\d+)</g)].map(([, needed, has]) => [needed, has]);
    const table = /<section aria-labelledby="workload"[\s\S]*?<\/section>/.exec(html)?.[0] ?? '';
    const told = [...table.matchAll(/<td class="number">(\d+)<\/td><td class="number">(\d+)<\/td>/g)].map(
      ([, a, b]) => [a, b],
    );
    expect(drawn).toEqual([
      ['34', '120'],
      ['0', '120'],
    ]);
    expect(told).toEqual([...drawn, ['34', '240']]);
  });

  it('hatches what is more than the technicians have', async () => {
    const { desk, sam } = await withBoard();
    const event = await desk.store.events.byId('spring');
    if (!event) throw new Error('no event');
    const hours = { opensAt: '09:00', closesAt: '09:30', stepMinutes: 30, technicians: 1 } as const;
    await desk.store.events.change({ ...event, hours }, true);
    const { html } = await sam.get(BOARD);
    expect(html).not.toContain('class="over"');
    expect(html).toMatch(/Outside the hours<\/th><td class="number">4</i);
    const booking = { start: '2026-05-20T16:00:00.000Z', minutes: 1, linkHash: null };
    await desk.store.events.change({ ...event, version: 2, hours: { ...hours, technicians: 2 } }, true);
    const turn = aTurn({ conversationId: 'k9', replyId: 'r9', eventId: 'spring', booking });
    await desk.store.conversations.commit(turn);
    await desk.store.events.change({ ...event, version: 3, hours }, true);
    expect((await sam.get(BOARD)).html).toMatch(/<rect class="over"/);
  });
});
