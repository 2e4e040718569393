import { execFile } from 'node:child_process';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { sql } from 'kysely';
import { expect, it } from 'vitest';
import { seedDemo } from '#src/demo/seed.ts';
import { createFieldCipher } from '#src/protection/field-cipher.ts';
import { moveStore } from '#src/store/move-store.ts';
import { openBackend, openStore } from '#src/store/open-store.ts';
import { StoreError } from '#src/store/store-error.ts';
import { TABLES_IN_ORDER } from '#src/store/table-pages.ts';
import { aSummary } from '../factories/summary.ts';
import { aPhoto, aTurn } from '../factories/turn.ts';
import { aDatabaseUrl, aDataDir, NOON, openOn } from './places.ts';

const clock = () => NOON;
const ROOT = new URL('../..', import.meta.url).pathname;
const MANY = 450;
const cipher = createFieldCipher('the key of this database, long enough', []);

/** A closed database with something in every table, more than a page of it in some. */
async function aFullDatabase(): Promise<string> {
  const dataDir = aDataDir();
  const store = await openStore({ dataDir, clock, cipher });
  await seedDemo(store, { clock });
  for (let i = 0; i < MANY; i++) {
    const effects = [{ kind: 'summary', idempotencyKey: `e${i}`, payload: { text: 'niño 👶 "\\\n' } }] as const;
    const incoming = { activityId: `a${i}`, text: '«Qué?» 汉 \u00e9 e\u0301' };
    const summary = i === MANY - 1 ? aSummary() : null;
    await store.conversations.commit(aTurn({ expectedVersion: i, incoming, replyId: `r${i}`, effects, summary }));
  }
  // More than are read from the database at once.
  const photos = Array.from({ length: 9 }, (_, i) => aPhoto({ id: `p${i}` }));
  const other = aSummary({ reference: 'OTHER' });
  await store.conversations.commit(aTurn({ conversationId: 'k2', incoming: null, summary: other, photos }));
  await store.accounts.keepFirstLink('spent', 1000);
  const account = await store.accounts.addFirst('spent', {
    name: 'Robin',
    role: 'coordinator',
    passwordHash: 'scrypt…',
  });
  if (account === 'refused') throw new Error('no account');
  await store.accounts.keepFirstLink('open', 1000);
  await store.sessions.add('s1', account.id, 1000);
  await store.optOuts.add('sms-1', NOON.toISOString());
  await store.guesses.count('name', () => 0);
  const fields = new URLSearchParams({ text: 'niño' });
  await store.keptForms.keep('kept', { accountId: account.id, path: '/desk', fields }, 1000);
  await store.people.keepLink(account.id, 'link', 1000);
  await store.teamCalendars.keep(account.id, 'calendar');
  await store.audit.note({ accountId: account.id, action: 'signed-in', subject: null });
  const entry = { at: NOON.toISOString(), accountId: account.id, by: 'Robin' };
  await store.visits.add('KV7-2QM', { ...entry, id: 'v1', body: { kind: 'note', text: 'niño' } });
  await store.visits.add('KV7-2QM', { ...entry, id: 'v2', body: { kind: 'sign-off', reported: aSummary().case } });
  const walkIn = { name: 'niño', language: 'es', interpreter: false, minutes: 30, start: null };
  await store.arrivals.addWalkIn('demo', walkIn);
  const change = { kind: 'note', text: 'but' } as const;
  await store.visits.add('KV7-2QM', { ...entry, id: 'v3', body: { kind: 'correction', why: 'mistake', change } });
  await store.visits.openLink('h1', { reference: 'KV7-2QM', conversationId: 'k1' });
  await store.close();
  return join(dataDir, 'lapwing.db');
}

it('carries every row of every table over, and says how many and their hash', async () => {
  const from = await aFullDatabase();
  const to = await aDatabaseUrl();
  const args = ['src/cli/move-store.ts', '--from', from, '--to', to];
  const { stdout } = await promisify(execFile)(process.execPath, args, { cwd: ROOT });
  const said = stdout
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line) as { table: string; rows: number; hash: string });
  expect(said.map(({ table }) => table)).toEqual(TABLES_IN_ORDER);
  expect(said.every(({ rows, hash }) => rows > 0 && /^[0-9a-f]{64}$/.test(hash))).toBe(true);
  expect(said.find(({ table }) => table === 'activities')?.rows).toBe(MANY);
  const [before, after] = [
    await openOn({ dataDir: join(from, '..'), databaseUrl: null }, clock, cipher),
    await openOn({ dataDir: '', databaseUrl: to }, clock, cipher),
  ];
  expect(await after.conversations.thread('k1', 0)).toEqual(await before.conversations.thread('k1', 0));
  const all = { pageSize: 100 };
  expect(await after.cases.list(all)).toEqual(await before.cases.list(all));
  expect(await after.outbox.due('2027-01-01T00:00:00.000Z', 1000)).toHaveLength(MANY);
  expect(await after.accounts.byName('robin')).toEqual(await before.accounts.byName('robin'));
  expect(await after.photos.picture('k2', 'p8', 'whole')).toEqual(aPhoto().picture);
  expect(await after.conversations.commit(aTurn({ expectedVersion: MANY, incoming: null, replyId: 'next' }))).toBe(
    'committed',
  );
});

it('knows every table there is', async () => {
  const backend = await openBackend({ dataDir: aDataDir() });
  const { rows } = await sql<{ name: string }>`select name from sqlite_schema where type = 'table'`.execute(backend.db);
  await backend.close();
  const ours = rows.map(({ name }) => name).filter((name) => !/^(kysely|sqlite)_/.test(name));
  expect(ours.toSorted()).toEqual([...TABLES_IN_ORDER].toSorted());
});

it('moves nothing into a database that holds a row, nor what it cannot write whole', async () => {
  const from = await aFullDatabase();
  const to = await aDatabaseUrl();
  const target = await openOn({ dataDir: '', databaseUrl: to }, clock, cipher);
  const event = { id: 'mine', name: 'n', place: 'p', timeZone: 'UTC', heldOn: '2026-06-01' };
  await target.events.add(event);
  await expect(moveStore({ from, to })).rejects.toThrow(/The target is not empty: there are rows in events/);
  expect(await target.conversations.load('k1')).toBeNull();
  expect(await target.events.list()).toMatchObject([event]);

  const other = await aDatabaseUrl();
  const backend = await openBackend({ dataDir: '', databaseUrl: other });
  // As an operator's own rule might: what is written is not what was given.
  await sql`create function shout() returns trigger language plpgsql as
    'begin new.place := upper(new.place); return new; end'`.execute(backend.db);
  await sql`create trigger shout before insert on events for each row execute function shout()`.execute(backend.db);
  await expect(moveStore({ from, to: other })).rejects.toThrow(/written to events reads differently/);
  const left = await sql`select 1 from conversations`.execute(backend.db);
  await backend.close();
  expect(left.rows).toEqual([]);
});

it('refuses a file that is not there, and a missing option, without making anything', async () => {
  const to = await aDatabaseUrl();
  await expect(moveStore({ from: join(aDataDir(), 'none.db'), to })).rejects.toThrow(StoreError);
  await expect(
    promisify(execFile)(process.execPath, ['src/cli/move-store.ts', '--from', 'x'], { cwd: ROOT }),
  ).rejects.toMatchObject({ code: 2, stderr: expect.stringContaining('--to postgres://') });
});
