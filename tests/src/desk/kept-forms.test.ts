import { describe, expect, it } from 'vitest';
import { aSummary } from '../../factories/summary.ts';
import { aTurn } from '../../factories/turn.ts';
import { type Browsing, NAME, type OpenDesk, openDesk, PASSWORD } from './open-desk.ts';

const THREAD = '/desk/cases/KV7-2QM/thread';
const TEXT = 'Bring the <b>seat</b> & its manual,\nplease. \u202eñ 汉';
const field = (html: string, name: string): string =>
  new RegExp(`name="${name}" value="([^"]*)"`).exec(html)?.[1] ?? '';

/** A technician who has the thread open while the session runs out, and what is in the thread. */
async function withThread() {
  const desk = await openDesk();
  await desk.store.conversations.commit(aTurn({ summary: aSummary() }));
  const browser = await desk.signedIn();
  const { html } = await browser.get(THREAD);
  const form = { token: field(html, 'token'), does: 'write', line: field(html, 'line'), text: TEXT };
  desk.clock.now = new Date(desk.clock.now.getTime() + 3 * 60 * 60 * 1000);
  const said = async () =>
    (await desk.store.conversations.thread('k1', 0))
      .filter(({ from }) => from === 'technician')
      .map(({ text }) => text);
  return { desk, browser, form, said };
}

const signIn = (browser: Browsing, path: string) => browser.send(path, { name: NAME, password: PASSWORD });
const minutes = (desk: OpenDesk, count: number) => {
  desk.clock.now = new Date(desk.clock.now.getTime() + count * 60_000);
};

describe('a form sent after the session has run out', () => {
  it('is kept, and is finished after signing in, without a script, once', async () => {
    const { desk, browser, form, said } = await withThread();
    const met = await browser.post(THREAD, form);
    expect([met.status, met.headers.get('location')]).toEqual([303, '/desk/sign-in?next=%2Fdesk%2Fkept']);
    expect(await said()).toEqual([]);
    expect((await browser.get('/desk/sign-in?next=%2Fdesk%2Fkept')).html).toContain('kept for half an hour');
    expect((await signIn(browser, '/desk/sign-in?next=%2Fdesk%2Fkept')).headers.get('location')).toBe('/desk/kept');
    const { html } = await browser.get('/desk/kept');
    expect(html).not.toContain('<b>seat');
    expect(html).toContain('Bring the &lt;b&gt;seat&lt;/b&gt; &amp; its manual');
    const done = await browser.post(THREAD, { ...form, token: field(html, 'token'), kept: field(html, 'kept') });
    expect([done.status, await said()]).toEqual([303, [TEXT]]);
    expect((await browser.get('/desk/kept')).status).toBe(410);
    await browser.post(THREAD, { ...form, token: field(html, 'token') });
    expect(await said()).toEqual([TEXT]);
    expect((await desk.store.audit.of('KV7-2QM')).map(({ action }) => action)).toContain('message-sent');
  });

  it('waits for its own person only, in its own browser, and for half an hour', async () => {
    const { desk, browser, form } = await withThread();
    await browser.post(THREAD, form);
    const other = await desk.as('technician');
    other.cookies.set('lapwing_kept', browser.cookies.get('lapwing_kept') ?? '');
    expect((await other.get('/desk/kept')).status).toBe(410);
    await signIn(browser, '/desk/sign-in');
    const elsewhere = desk.browse();
    await signIn(elsewhere, '/desk/sign-in');
    expect((await elsewhere.get('/desk/kept')).status).toBe(410);
    minutes(desk, 29);
    expect((await browser.get('/desk/kept')).status).toBe(200);
    minutes(desk, 1);
    expect((await browser.get('/desk/kept')).status).toBe(410);
  });

  it('can be given up', async () => {
    const { browser, form, said } = await withThread();
    await browser.post(THREAD, form);
    await signIn(browser, '/desk/sign-in');
    const { html } = await browser.get('/desk/kept');
    expect((await browser.post('/desk/kept', { token: field(html, 'token') })).headers.get('location')).toBe('/desk');
    expect([(await browser.get('/desk/kept')).status, await said()]).toEqual([410, []]);
  });

  it('is not kept for a form that is not ours, a session that was ended, or nobody', async () => {
    const { desk, browser, form } = await withThread();
    const refused = async (from: Browsing, fields: Record<string, string>) => {
      const met = await from.post(THREAD, fields);
      expect(met.headers.get('location')).toBe(`/desk/sign-in?next=${encodeURIComponent(THREAD)}`);
      expect(from.cookies.has('lapwing_kept')).toBe(false);
    };
    await refused(browser, { ...form, token: 'A'.repeat(43) });
    await refused(desk.browse(), form);
    const stranger = desk.browse();
    stranger.cookies.set('lapwing_desk', 'A'.repeat(43));
    await refused(stranger, form);
  });
});
