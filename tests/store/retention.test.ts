import { execFile } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { sql } from 'kysely';
import { describe, expect, it } from 'vitest';
import { createFieldCipher } from '#src/protection/field-cipher.ts';
import { keptSince } from '#src/protection/retention-sweep.ts';
import { openBackend, openStore } from '#src/store/open-store.ts';
import type { Store } from '#src/store/store.ts';
import { TABLES_IN_ORDER } from '#src/store/table-pages.ts';
import { aSummary } from '../factories/summary.ts';
import { aReply, aTurn } from '../factories/turn.ts';
import { aDataDir, DATABASES, openOn, type Place } from './places.ts';

const ROOT = new URL('../..', import.meta.url).pathname;
const DAY_MS = 24 * 60 * 60 * 1000;
const NOW = new Date('2026-05-16T12:00:00.000Z');
const daysAgo = (days: number) => new Date(NOW.getTime() - days * DAY_MS);
const cipher = createFieldCipher('the key of this test, long enough for it', []);

/** A family that was last heard of on a day: thread, case and something to hand on. */
async function aFamily({ conversations }: Pick<Store, 'conversations'>, name: string, at: Date): Promise<void> {
  await conversations.commit(
    aTurn({
      conversationId: name,
      at: at.toISOString(),
      incoming: { activityId: `a-${name}`, text: `hello from ${name}` },
      replyId: `r-${name}`,
      reply: aReply(`hello ${name}`),
      summary: aSummary({ reference: `REF-${name}` }),
      effects: [{ kind: 'summary', idempotencyKey: `e-${name}`, payload: { name } }],
    }),
  );
  await conversations.note(name, [{ id: `n-${name}`, from: 'caregiver', text: 'photo.jpg' }], at.toISOString());
}

/** How often a family is named in each table that names it; names hold a full stop, which no sealed value does. */
async function traces(place: Place, name: string): Promise<Record<string, number>> {
  const backend = await openBackend(place);
  const found: Record<string, number> = {};
  for (const table of TABLES_IN_ORDER) {
    const { rows } = await sql`select * from ${sql.table(table)}`.execute(backend.db);
    const number = rows.filter((row) => JSON.stringify(row).includes(name)).length;
    if (number > 0) found[table] = number;
  }
  await backend.close();
  return found;
}

describe.each(DATABASES)('on %s', (_name, aPlace) => {
  it('what is too old goes with all that hangs on it; what is not stays whole', async () => {
    const place = await aPlace();
    const store = await openOn(place, () => NOW, cipher);
    await aFamily(store, 'family.old', daysAgo(181));
    await aFamily(store, 'family.young', daysAgo(179));
    const whole = { conversations: 1, thread: 3, activities: 1, cases: 1, outbox: 1 };
    expect(await traces(place, 'family.old')).toEqual(whole);
    expect(await store.purge(keptSince(NOW, 180))).toEqual({ conversations: 1, cases: 1, outbox: 1, audit: 0 });
    expect(await traces(place, 'family.old')).toEqual({});
    expect(await traces(place, 'family.young')).toEqual(whole);
    expect(await store.purge(keptSince(NOW, 180))).toEqual({ conversations: 0, cases: 0, outbox: 0, audit: 0 });
  });

  it('counts from the last activity, to the millisecond', async () => {
    const store = await openOn(await aPlace(), () => NOW);
    await aFamily(store, 'back', daysAgo(400));
    await store.conversations.commit(
      aTurn({
        conversationId: 'back',
        expectedVersion: 1,
        incoming: null,
        replyId: 'r2',
        at: daysAgo(180).toISOString(),
      }),
    );
    await store.purge(keptSince(NOW, 180));
    expect((await store.conversations.load('back'))?.version).toBe(2);
    await store.purge(keptSince(new Date(NOW.getTime() + 1), 180));
    expect(await store.conversations.load('back')).toBeNull();
  });

  it('takes a line of a technician for activity too', async () => {
    const store = await openOn(await aPlace(), () => NOW);
    await aFamily(store, 'quiet', daysAgo(400));
    await store.conversations.note(
      'quiet',
      [{ id: 't1', from: 'technician', text: 'hello' }],
      daysAgo(3).toISOString(),
    );
    await store.purge(keptSince(NOW, 180));
    expect((await store.conversations.load('quiet'))?.version).toBe(1);
  });

  it('reaches what was handed on, given up or waits, deletions of long ago, and who looked', async () => {
    const place = await aPlace();
    let now = daysAgo(200);
    const store = await openOn(place, () => now);
    await aFamily(store, 'family.gone', now);
    await store.outbox.spread(['webhook', 'mail'], now.toISOString(), 10);
    const [first] = await store.outbox.claim(now.toISOString(), now.toISOString(), 1);
    if (!first) throw new Error('nothing to hand on');
    await store.outbox.settle(first, { kind: 'failed', why: 'answered 410' });
    await store.audit.note({ accountId: null, action: 'case-viewed', subject: 'REF-family.gone' });
    await store.conversations.commit(
      aTurn({ conversationId: 'family.erased', state: 'deleted', replyId: 'bye', at: now.toISOString() }),
    );
    now = NOW;
    await store.audit.note({ accountId: null, action: 'case-viewed', subject: 'REF-other' });
    expect(await store.purge(keptSince(NOW, 180))).toEqual({ conversations: 2, cases: 1, outbox: 3, audit: 1 });
    expect([await traces(place, 'family.gone'), await traces(place, 'family.erased')]).toEqual([{}, {}]);
    expect(await store.audit.of('REF-other')).toHaveLength(1);
  });

  it('goes on until nothing old is left, however much there is', async () => {
    const store = await openOn(await aPlace(), () => NOW);
    for (let i = 0; i < 250; i++) await aFamily(store, `k${i}`, daysAgo(200 + i));
    expect(await store.purge(keptSince(NOW, 180))).toMatchObject({ conversations: 250, cases: 250, outbox: 250 });
  });

  it('a family that comes back after it begins anew', async () => {
    const { conversations, purge } = await openOn(await aPlace(), () => NOW);
    await aFamily({ conversations }, 'back', daysAgo(300));
    await purge(keptSince(NOW, 180));
    const late = aTurn({ conversationId: 'back', expectedVersion: 1, incoming: null, replyId: 'r2' });
    expect(await conversations.commit(late)).toBe('stale');
    expect(await conversations.commit({ ...late, expectedVersion: 0 })).toBe('committed');
  });
});

it('what went is in the files no more, even while they are open', async () => {
  const dataDir = aDataDir();
  const store = await openStore({ dataDir, clock: () => NOW });
  const held = () => readdirSync(dataDir).some((file) => readFileSync(join(dataDir, file)).includes('hello quillwort'));
  await aFamily(store, 'quillwort', daysAgo(200));
  expect(held()).toBe(true);
  await store.purge(keptSince(NOW, 180));
  expect(held()).toBe(false);
  await store.close();
});

describe('npm run purge', () => {
  const run = (settings: Record<string, string>) =>
    promisify(execFile)(process.execPath, ['src/cli/purge.ts'], {
      cwd: ROOT,
      env: { PATH: process.env.PATH ?? '', ...settings },
    });

  it('deletes by the settings of the service, without its key, and says what went', async () => {
    const dataDir = aDataDir();
    const store = await openStore({ dataDir, clock: () => NOW, cipher });
    await aFamily(store, 'family.old', new Date(Date.now() - 31 * DAY_MS));
    await aFamily(store, 'family.young', new Date(Date.now() - 29 * DAY_MS));
    const { stdout } = await run({ LAPWING_DATA_DIR: dataDir, LAPWING_RETENTION_DAYS: '30' });
    expect(JSON.parse(stdout)).toMatchObject({ conversations: 1, cases: 1, outbox: 1, audit: 0 });
    expect(await store.conversations.load('family.old')).toBeNull();
    expect((await store.conversations.load('family.young'))?.version).toBe(1);
    await store.close();
  });

  it('refuses where everything is kept', async () => {
    await expect(run({ LAPWING_DATA_DIR: aDataDir(), LAPWING_RETENTION_DAYS: '0' })).rejects.toMatchObject({
      code: 2,
      stderr: expect.stringContaining('everything is kept'),
    });
  });
});
