import { describe, expect, it } from 'vitest';
import { delayAfter } from '#src/desk/sign-in.ts';
import { aSummary } from '../../factories/summary.ts';
import { aTurn } from '../../factories/turn.ts';
import { type Browsing, NAME, openDesk, PASSWORD } from './open-desk.ts';

const signIn = (browser: Browsing, fields: Record<string, string> = {}, path = '/desk/sign-in') =>
  browser.send(path, { name: NAME, password: PASSWORD, ...fields });

async function withAccount() {
  const desk = await openDesk();
  await desk.signedIn();
  return desk;
}

describe('signing in', () => {
  it('opens the desk, however the name is typed, under a session that scripts cannot read', async () => {
    const { browse } = await withAccount();
    const browser = browse();
    const sent = await signIn(browser, { name: ' ROBIN ash' });
    expect([sent.status, sent.headers.get('location')]).toEqual([303, '/desk']);
    const session = sent.headers.getSetCookie().find((line) => line.startsWith('lapwing_desk='));
    expect(session).toMatch(/^lapwing_desk=[\w-]{43}; Path=\/; HttpOnly; SameSite=Lax; Max-Age=43200$/);
    expect((await browser.get('/desk')).status).toBe(200);
  });

  it('makes the cookies secure and bound to the host behind https', async () => {
    const { browse } = await openDesk({ publicUrl: 'https://desk.example.org' });
    const [cookie] = (await browse().get('/desk/sign-in')).headers.getSetCookie();
    expect(cookie).toMatch(/^__Host-lapwing_form=[\w-]{43}; Path=\/; HttpOnly; SameSite=Lax; Secure$/);
  });

  it('says the same for a wrong password and for a name nobody has', async () => {
    const { browse } = await withAccount();
    const wrong = await signIn(browse(), { password: 'not the right password' });
    const nobody = await signIn(browse(), { name: 'Nobody', password: 'not the right password' });
    expect([wrong.status, nobody.status]).toEqual([401, 401]);
    const message = (html: string) => /role="alert">([^<]+)/.exec(html)?.[1];
    expect(message(wrong.html)).toMatch(/That did not work/);
    expect(message(nobody.html)).toBe(message(wrong.html));
  });

  it('leads back to the page that was asked for, and to no other place', async () => {
    const { browse } = await withAccount();
    const asked = await browse().get('/desk/cases/KV7-2QM/print');
    expect([asked.status, asked.headers.get('location')]).toEqual([
      303,
      '/desk/sign-in?next=%2Fdesk%2Fcases%2FKV7-2QM%2Fprint',
    ]);
    const back = await signIn(browse(), {}, asked.headers.get('location') ?? '');
    expect(back.headers.get('location')).toBe('/desk/cases/KV7-2QM/print');
    for (const next of [
      'https://elsewhere.example/desk',
      '//elsewhere.example',
      '/desk/../x',
      '/desk\\@x',
      '/desk/cases/a//b',
    ])
      expect((await signIn(browse(), { next })).headers.get('location')).toBe('/desk');
  });
});

describe('guessing', () => {
  it('makes the account wait longer each time, and the right password waits too', async () => {
    const { browse, clock, store } = await withAccount();
    for (let i = 0; i < 5; i++) expect((await signIn(browse(), { password: 'a wrong password!' })).status).toBe(401);
    expect((await signIn(browse())).status).toBe(401);
    expect((await store.accounts.byName(NAME))?.failedAttempts).toBe(5);
    clock.now = new Date(clock.now.getTime() + 29_999);
    expect((await signIn(browse())).status).toBe(401);
    clock.now = new Date(clock.now.getTime() + 1);
    expect((await signIn(browse(), { password: 'a wrong password!' })).status).toBe(401);
    clock.now = new Date(clock.now.getTime() + 30_000);
    expect((await signIn(browse())).status).toBe(401);
    clock.now = new Date(clock.now.getTime() + 30_000);
    expect((await signIn(browse())).status).toBe(303);
    expect(await store.accounts.byName(NAME)).toMatchObject({ failedAttempts: 0, notBefore: null });
  });

  it('many tries sent at once count like tries one after the other', async () => {
    const { browse, store } = await withAccount();
    await Promise.all(Array.from({ length: 12 }, () => signIn(browse(), { password: 'a wrong password!' })));
    const failures = (await store.accounts.byName(NAME))?.failedAttempts ?? 0;
    expect(failures).toBeGreaterThanOrEqual(5);
    expect(failures).toBeLessThan(12);
    expect((await signIn(browse())).status).toBe(401);
  });

  it('never waits for more than a quarter of an hour', () => {
    expect([0, 4, 5, 6, 7, 9, 10, 1000].map((failures) => delayAfter(failures) / 1000)).toEqual([
      0, 0, 30, 60, 120, 480, 900, 900,
    ]);
  });
});

describe('a form that is not ours', () => {
  it.each([
    ['without a token', ''],
    ['with a made-up token', 'A'.repeat(43)],
  ])('%s signs nobody in and nobody out', async (_, token) => {
    const { browse, signedIn, store } = await openDesk();
    const person = await signedIn();
    const stranger = browse();
    await stranger.get('/desk/sign-in');
    const refused = await stranger.post('/desk/sign-in', { token, name: NAME, password: PASSWORD });
    expect(refused.status).toBe(403);
    expect(stranger.cookies.has('lapwing_desk')).toBe(false);
    expect((await person.post('/desk/sign-out', { token })).status).toBe(403);
    expect((await person.get('/desk')).status).toBe(200);
    expect((await stranger.post('/desk/first', { token, link: 'x' })).status).toBe(403);
    expect(await store.accounts.count()).toBe(1);
  });

  it('with a token that was given to another browser signs nobody in', async () => {
    const { browse, signedIn } = await openDesk();
    await signedIn();
    const token = /name="token" value="([^"]+)"/.exec((await browse().get('/desk/sign-in')).html)?.[1] ?? '';
    const stranger = browse();
    expect((await signIn(stranger, { token })).status).toBe(403);
  });

  it('of too much text is refused', async () => {
    const { browse } = await openDesk();
    expect((await signIn(browse(), { name: 'x'.repeat(20_000) })).status).toBe(413);
  });
});

describe('a session', () => {
  it('ends when its person signs out, in every copy of the cookie', async () => {
    const { browse, signedIn } = await openDesk();
    const person = await signedIn();
    const copy = browse();
    for (const [name, value] of person.cookies) copy.cookies.set(name, value);
    const { html } = await person.get('/desk');
    const token = /name="token" value="([^"]+)"/.exec(html)?.[1] ?? '';
    const out = await person.post('/desk/sign-out', { token });
    expect(out.headers.get('location')).toBe('/desk/sign-in?out=yes');
    expect((await person.get('/desk/sign-in?out=yes')).html).toContain('You are signed out.');
    expect((await copy.get('/desk')).status).toBe(303);
  });

  it('ends after twelve hours', async () => {
    const { signedIn, clock } = await openDesk();
    const person = await signedIn();
    clock.now = new Date(clock.now.getTime() + 12 * 60 * 60 * 1000 - 1);
    expect((await person.get('/desk')).status).toBe(200);
    clock.now = new Date(clock.now.getTime() + 1);
    expect((await person.get('/desk')).status).toBe(303);
  });

  it.each(['/desk', '/desk/cases/KV7-2QM', '/desk/cases/KV7-2QM/print'])('is needed for %s', async (path) => {
    const { browse, store } = await openDesk();
    await store.conversations.commit(aTurn({ summary: aSummary() }));
    const browser = browse();
    browser.cookies.set('lapwing_desk', 'A'.repeat(43));
    const asked = await browser.get(path);
    expect(asked.status).toBe(303);
    expect(asked.html).toBe('');
  });
});
