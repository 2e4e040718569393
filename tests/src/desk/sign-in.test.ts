import { describe, expect, it } from 'vitest';
import { delayAfter, delayOfAddress } from '#src/desk/guessing.ts';
import { aSummary } from '../../factories/summary.ts';
import { aTurn } from '../../factories/turn.ts';
import { type Browsing, NAME, type OpenDesk, openDesk, PASSWORD } from './open-desk.ts';

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
    expect(session).toMatch(/^lapwing_desk=[\w-]{43}; Path=\/; HttpOnly; SameSite=Lax; Max-Age=129600$/);
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
  const wrong = { password: 'a wrong password!' };
  const later = (desk: OpenDesk, ms: number) => {
    desk.clock.now = new Date(desk.clock.now.getTime() + ms);
  };

  it('makes the account wait longer each time, and the right password waits too', async () => {
    const desk = await withAccount();
    const { browse } = desk;
    for (let i = 0; i < 4; i++) expect((await signIn(browse(), wrong)).status).toBe(401);
    expect((await signIn(browse(), wrong)).status).toBe(429);
    const waits = await signIn(browse());
    expect([waits.status, waits.html.includes('Try again in 30 seconds')]).toEqual([429, true]);
    later(desk, 29_999);
    expect((await signIn(browse())).html).toContain('Try again in 1 second;');
    later(desk, 1);
    expect((await signIn(browse(), wrong)).html).toContain('Try again in 60 seconds');
    later(desk, 59_000);
    expect((await signIn(browse())).status).toBe(429);
    later(desk, 1000);
    expect((await signIn(browse())).status).toBe(303);
    for (let i = 0; i < 4; i++) expect((await signIn(browse(), wrong)).status).toBe(401);
  });

  it('says and does the same for a name that nobody has', async () => {
    const { browse } = await withAccount();
    const tell = async (name: string) => {
      const told: (string | number)[] = [];
      for (let i = 0; i < 6; i++) {
        const { status, html } = await signIn(browse(), { ...wrong, name });
        told.push(status, ...[...html.matchAll(/class="notice bad"[^>]*>([^<]+)/g)].map(([, text]) => text as string));
      }
      return told;
    };
    expect(await tell('Nobody')).toEqual(await tell(NAME));
  });

  it('many tries sent at once count like tries one after the other', async () => {
    const { browse, store } = await withAccount();
    const tries = await Promise.all(Array.from({ length: 12 }, () => signIn(browse(), wrong)));
    expect(tries.filter(({ status }) => status === 401)).toHaveLength(4);
    const refused = (await store.audit.list({ pageSize: 99, filter: { action: 'sign-in-refused' } })).rows.length;
    expect(refused).toBeGreaterThanOrEqual(5);
    expect(refused).toBeLessThan(12);
    expect((await signIn(browse())).status).toBe(429);
  });

  it('many names tried from one address make that address wait, and no other', async () => {
    const desk = await openDesk({ trustedProxies: ['127.0.0.1'] });
    await desk.signedIn();
    const from = (address: string) => desk.browse({ 'x-forwarded-for': address });
    for (let i = 0; i < 20; i++) await signIn(from('203.0.113.7'), { ...wrong, name: `Nobody ${i}` });
    expect((await signIn(from('203.0.113.7'))).status).toBe(429);
    expect((await signIn(from('203.0.113.8'))).status).toBe(303);
    later(desk, 30_000);
    expect((await signIn(from('203.0.113.7'))).status).toBe(303);
  });

  it('never waits for more than a quarter of an hour', () => {
    expect([0, 4, 5, 6, 7, 9, 10, 1000].map((failures) => delayAfter(failures) / 1000)).toEqual([
      0, 0, 30, 60, 120, 480, 900, 900,
    ]);
    expect([19, 20, 1000].map((failures) => delayOfAddress(failures) / 1000)).toEqual([0, 30, 900]);
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
    expect((await signIn(browse(), { name: 'x'.repeat(40_000) })).status).toBe(413);
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
    const hours = async (count: number) => {
      clock.now = new Date(clock.now.getTime() + count * 60 * 60 * 1000);
      return (await person.get('/desk')).status;
    };
    for (let hour = 1; hour < 12; hour++) expect(await hours(1)).toBe(200);
    clock.now = new Date(clock.now.getTime() - 1);
    expect(await hours(1)).toBe(200);
    clock.now = new Date(clock.now.getTime() + 1);
    expect(await hours(0)).toBe(303);
  });

  it('ends when nobody used it for two hours; what a page asks for by itself is no use', async () => {
    const { signedIn, clock } = await openDesk();
    const person = await signedIn();
    const pause = async (minutes: number, headers: Record<string, string> = {}) => {
      clock.now = new Date(clock.now.getTime() + minutes * 60_000);
      return (await person.get('/desk', headers)).status;
    };
    expect([await pause(119), await pause(119)]).toEqual([200, 200]);
    expect([await pause(100, { 'x-by-itself': '1' }), await pause(20)]).toEqual([200, 303]);
  });

  it('is not used by the stream of an open page, which comes back by itself when the line breaks', async () => {
    const { signedIn, clock, url } = await openDesk();
    const person = await signedIn();
    clock.now = new Date(clock.now.getTime() + 100 * 60_000);
    const stopped = new AbortController();
    const cookie = `lapwing_desk=${person.cookies.get('lapwing_desk')}`;
    const stream = await fetch(`${url}/desk/live`, { headers: { cookie }, signal: stopped.signal });
    expect(stream.status).toBe(200);
    stopped.abort();
    clock.now = new Date(clock.now.getTime() + 20 * 60_000);
    expect((await person.get('/desk')).status).toBe(303);
  });

  it('may lie unused all day where the operator says so', async () => {
    const { signedIn, clock } = await openDesk({ sessions: { hours: 10, idleMinutes: null } });
    const person = await signedIn();
    clock.now = new Date(clock.now.getTime() + 9 * 60 * 60 * 1000);
    expect((await person.get('/desk')).status).toBe(200);
    clock.now = new Date(clock.now.getTime() + 60 * 60 * 1000);
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
