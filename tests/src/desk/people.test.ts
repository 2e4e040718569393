import { describe, expect, it } from 'vitest';
import { type Browsing, NAME, openDesk } from './open-desk.ts';

const token = (html: string): string => /name="token" value="([^"]+)"/.exec(html)?.[1] ?? '';
const linkIn = (html: string): string => {
  const { pathname, search } = new URL(/value="(http[^"]+\/desk\/password\?token=[\w-]{43})"/.exec(html)?.[1] ?? '');
  return pathname + search;
};
const PASSWORD = 'four words in a row';

async function withCoordinator() {
  const desk = await openDesk();
  const browser = await desk.signedIn();
  const post = async (path: string, fields: Record<string, string>) =>
    browser.post(path, { token: token((await browser.get('/desk/people')).html), ...fields });
  const idOf = async (name: string) => (await desk.store.people.list()).find((one) => one.name === name)?.id ?? '';
  return { desk, browser, post, idOf };
}

const choose = (browser: Browsing, link: string) => browser.send(link, { password: PASSWORD, again: PASSWORD });

describe('inviting somebody', () => {
  it('gives a link that works once, with which they choose a password and see what they may', async () => {
    const { desk, post } = await withCoordinator();
    await desk.store.events.add({ id: 'spring', name: 'Spring', place: 'Yard', timeZone: 'UTC', heldOn: '2026-05-20' });
    const made = await post('/desk/people', { name: 'Sam', role: 'technician', which: 'some', event: 'spring' });
    expect(made.status).toBe(200);
    const link = linkIn(made.html);
    const sam = desk.browse();
    expect((await choose(sam, link)).headers.get('location')).toBe('/desk');
    expect((await sam.get('/desk')).html).toContain('Signed in: Sam');
    expect((await sam.get('/desk/people')).status).toBe(403);
    expect((await sam.get('/desk')).html).not.toContain('href="/desk/people"');
    expect((await desk.browse().get(link)).status).toBe(410);
    expect(await desk.store.people.list()).toMatchObject([
      { name: NAME, role: 'coordinator', eventIds: null },
      { name: 'Sam', role: 'technician', eventIds: ['spring'], hasPassword: true },
    ]);
    const again = desk.browse();
    expect((await again.send('/desk/sign-in', { name: 'sam', password: PASSWORD })).status).toBe(303);
  });

  it.each([
    ['no name', { name: ' ', role: 'technician' }],
    ['a name that somebody has', { name: ' ROBIN ash ', role: 'technician' }],
    ['no such role', { name: 'Sam', role: 'owner' }],
  ])('is refused for %s, and makes nobody', async (_, fields) => {
    const { desk, post } = await withCoordinator();
    expect((await post('/desk/people', fields)).status).toBe(422);
    expect(await desk.store.people.list()).toHaveLength(1);
  });

  it('shows a hostile name as text', async () => {
    const { post, browser } = await withCoordinator();
    const made = await post('/desk/people', { name: '"><script>alert(1)</script>\u202e', role: 'read-only' });
    expect(made.html).not.toContain('<script>alert');
    expect((await browser.get('/desk/people')).html).not.toContain('<script>alert');
  });

  it('lets nobody sign in before the link was used', async () => {
    const { desk, post } = await withCoordinator();
    await post('/desk/people', { name: 'Sam', role: 'technician' });
    for (const password of ['', PASSWORD])
      expect((await desk.browse().send('/desk/sign-in', { name: 'Sam', password })).status).toBe(401);
  });
});

describe('changing somebody', () => {
  it('takes effect at once: the role, the events, and that the account is closed', async () => {
    const { desk, post } = await withCoordinator();
    const sam = await desk.as('technician');
    const path = `/desk/people/${sam.accountId}`;
    expect((await post(path, { does: 'change', role: 'coordinator' })).html).toContain('Saved.');
    expect((await sam.get('/desk/people')).status).toBe(200);
    await post(path, { does: 'disable' });
    expect((await sam.get('/desk')).status).toBe(303);
    await post(path, { does: 'enable' });
    expect((await sam.get('/desk')).status).toBe(303);
    const actions = (await desk.store.audit.of(sam.accountId)).map(({ action }) => action);
    expect(actions).toEqual(['account-changed', 'account-disabled', 'account-enabled']);
  });

  it('never takes the last coordinator away, neither the role nor the account', async () => {
    const { desk, post, idOf } = await withCoordinator();
    const path = `/desk/people/${await idOf(NAME)}`;
    const tries: Record<string, string>[] = [{ does: 'disable' }, { does: 'change', role: 'technician' }];
    for (const fields of tries) {
      const answer = await post(path, fields);
      expect([answer.status, answer.html.includes('last coordinator')]).toEqual([422, true]);
    }
    // Somebody who was invited and never came cannot lead either.
    await post('/desk/people', { name: 'Kim', role: 'coordinator' });
    expect((await post(path, { does: 'disable' })).status).toBe(422);
    expect(await desk.store.people.byId(await idOf(NAME))).toMatchObject({ role: 'coordinator', disabled: false });
  });

  it('a new password ends the sessions of the old one, and a newer link replaces an older', async () => {
    const { desk, post, idOf } = await withCoordinator();
    const link = linkIn((await post('/desk/people', { name: 'Sam', role: 'technician' })).html);
    const sam = desk.browse();
    await choose(sam, link);
    const path = `/desk/people/${await idOf('Sam')}`;
    const [older, newer] = [await post(path, { does: 'link' }), await post(path, { does: 'link' })];
    expect((await desk.browse().get(linkIn(older.html))).status).toBe(410);
    expect((await sam.get('/desk')).status).toBe(200);
    const elsewhere = desk.browse();
    await choose(elsewhere, linkIn(newer.html));
    expect([(await sam.get('/desk')).status, (await elsewhere.get('/desk')).status]).toEqual([303, 200]);
  });

  it('asks again for a weak password, and the link stays good until its time is over', async () => {
    const { desk, post } = await withCoordinator();
    const link = linkIn((await post('/desk/people', { name: 'Sam', role: 'technician' })).html);
    const sam = desk.browse();
    expect((await sam.send(link, { password: 'short', again: 'short' })).html).toContain('at least 15');
    desk.clock.now = new Date(desk.clock.now.getTime() + 72 * 60 * 60 * 1000);
    expect((await sam.get(link)).status).toBe(410);
  });
});
