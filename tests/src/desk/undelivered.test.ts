import { execFile } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { expect, it, onTestFinished } from 'vitest';
import { openStore } from '#src/store/open-store.ts';
import type { Store } from '#src/store/store.ts';
import { aSummary } from '../../factories/summary.ts';
import { aTurn } from '../../factories/turn.ts';
import { NAME, openDesk } from './open-desk.ts';

const AT = '2026-05-16T09:30:00.000Z';
const ROOT = new URL('../../..', import.meta.url).pathname;

/** Two deliveries that were given up, of one family. */
async function giveUp(store: Store, why = 'answered 500'): Promise<void> {
  const effects = [{ kind: 'summary', idempotencyKey: 'KV7-2QM:1', payload: aSummary() }] as const;
  await store.conversations.commit(aTurn({ state: 'sent', summary: aSummary(), effects }));
  await store.outbox.spread(['webhook', 'mail'], AT, 10);
  for (const claimed of await store.outbox.claim(AT, AT, 10))
    await store.outbox.settle(claimed, { kind: 'failed', why });
}

const failed = async (store: Store): Promise<number> => (await store.outbox.deadLetters(10)).length;

it('is only for people who are signed in', async () => {
  const desk = await openDesk();
  const answer = await desk.browse().get('/desk/undelivered');
  expect([answer.status, answer.headers.get('location')]).toEqual([303, '/desk/sign-in?next=%2Fdesk%2Fundelivered']);
  expect((await desk.browse().post('/desk/undelivered', { id: 'all' })).status).toBe(303);
});

it('shows where it was to go, since when, how often and why, with the way to the case, and nothing of the family', async () => {
  const desk = await openDesk();
  const browser = await desk.signedIn();
  expect((await browser.get('/desk/undelivered')).html).toContain('Everything was delivered');
  await giveUp(desk.store, 'answered 500 <b>');
  const { html } = await browser.get('/desk/undelivered');
  expect(html).toContain('Other system (webhook)');
  expect(html).toContain('Mail');
  expect(html).toContain('2 hours ago');
  expect(html).toContain('<code>answered 500 &lt;b&gt;</code>');
  expect(html).toContain('href="/desk/cases/KV7-2QM"');
  expect(html).not.toMatch(/Wren|the grey one/);
});

it('puts one back in line, or all, writes down who did, and hands them on under their old id', async () => {
  const desk = await openDesk();
  const browser = await desk.signedIn();
  await giveUp(desk.store);
  const { html } = await browser.get('/desk/undelivered');
  const token = /name="token" value="([^"]+)"/.exec(html)?.[1] ?? '';
  const [one] = await desk.store.outbox.deadLetters(1);
  const keys = new Set(['KV7-2QM:1/mail', 'KV7-2QM:1/webhook']);
  const first = await browser.post('/desk/undelivered', { token, id: one?.id ?? '' });
  expect(first.headers.get('location')).toBe('/desk/undelivered?retried=1');
  expect(await failed(desk.store)).toBe(1);
  expect((await browser.get('/desk/undelivered?retried=1')).html).toContain('1 delivery is tried again now.');
  await browser.post('/desk/undelivered', { token, id: 'all' });
  expect(await failed(desk.store)).toBe(0);
  const claimed = await desk.store.outbox.claim('2026-05-16T12:00:00.000Z', '2026-05-16T12:02:00.000Z', 10);
  expect(new Set(claimed.map(({ idempotencyKey }) => idempotencyKey))).toEqual(keys);
  expect(claimed.map(({ attempts }) => attempts)).toEqual([1, 1]);
  expect(claimed[0]?.payload).toMatchObject({ reference: 'KV7-2QM' });
  const account = (await desk.store.accounts.byName(NAME))?.id;
  expect(await desk.store.audit.of('all')).toMatchObject([{ accountId: account, action: 'delivery-retried' }]);
});

it('takes no form of another browser, and no id that there is not', async () => {
  const desk = await openDesk();
  const browser = await desk.signedIn();
  await giveUp(desk.store);
  expect((await browser.post('/desk/undelivered', { token: 'made up', id: 'all' })).status).toBe(403);
  const token = /name="token" value="([^"]+)"/.exec((await browser.get('/desk/undelivered')).html)?.[1] ?? '';
  const none = await browser.post('/desk/undelivered', { token, id: "x' or 1=1" });
  expect(none.headers.get('location')).toBe('/desk/undelivered?retried=0');
  expect(await failed(desk.store)).toBe(2);
});

it('is listed and put back in line on the command line too', async () => {
  const dataDir = mkdtempSync(join(tmpdir(), 'lapwing-undelivered-'));
  onTestFinished(() => rmSync(dataDir, { recursive: true, force: true }));
  const store = await openStore({ dataDir, clock: () => new Date(AT) });
  await giveUp(store);
  await store.close();
  const run = async (...args: string[]) => {
    const env = { PATH: process.env.PATH, LAPWING_DATA_DIR: dataDir };
    const { stdout } = await promisify(execFile)(process.execPath, ['src/cli/undelivered.ts', ...args], {
      cwd: ROOT,
      env,
    });
    return stdout
      .trim()
      .split('\n')
      .filter(Boolean)
      .map((line) => JSON.parse(line) as unknown);
  };
  const listed = await run();
  expect(listed).toHaveLength(2);
  expect(listed[0]).toMatchObject({ attempts: 1, lastError: 'answered 500', createdAt: AT, reference: 'KV7-2QM' });
  expect(await run('--retry', 'all')).toEqual([{ retried: 2 }]);
  expect(await run()).toEqual([]);
  await expect(run('--wrong')).rejects.toMatchObject({ code: 2 });
});
