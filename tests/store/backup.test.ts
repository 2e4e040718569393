import { execFile } from 'node:child_process';
import { existsSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { Migrator } from 'kysely';
import { describe, expect, it } from 'vitest';
import { createFieldCipher } from '#src/protection/field-cipher.ts';
import { backUp, checkBackup } from '#src/store/backup.ts';
import { MIGRATIONS } from '#src/store/migrations.ts';
import { openBackend } from '#src/store/open-store.ts';
import { restore } from '#src/store/restore.ts';
import type { Store } from '#src/store/store.ts';
import { aSummary } from '../factories/summary.ts';
import { aTurn } from '../factories/turn.ts';
import { aDatabaseUrl, aDataDir, DATABASES, NOON, openOn, type Place } from './places.ts';

const KEY = 'the key of this database, long enough';
const cipher = createFieldCipher(KEY, []);
const clock = () => NOON;
const ROOT = new URL('../..', import.meta.url).pathname;
const at = NOON.toISOString();

const run = (script: string, place: Omit<Place, 'run'>, ...args: string[]) => {
  const env = {
    PATH: process.env.PATH,
    LAPWING_SECRET_KEY: KEY,
    LAPWING_DATA_DIR: place.dataDir,
    ...(place.databaseUrl && { LAPWING_DATABASE_URL: place.databaseUrl }),
  };
  return promisify(execFile)(process.execPath, [`src/cli/${script}.ts`, ...args], { cwd: ROOT, env });
};

/** Writes turns of a conversation until told to stop; `acknowledged` grows with each that is durable. */
function writer(store: Store, id: string) {
  let acknowledged = 0;
  let stopped = false;
  const done = (async () => {
    for (let i = 0; !stopped; i++) {
      const incoming = { activityId: `a${i}`, text: `message ${i} of ${id}` };
      const effects = [{ kind: 'summary', idempotencyKey: `${id}:${i}`, payload: aSummary() }] as const;
      await store.conversations.commit(
        aTurn({ conversationId: id, expectedVersion: i, incoming, replyId: `r${i}`, effects }),
      );
      acknowledged = i + 1;
      // Others have their turn.
      await new Promise((resolve) => setImmediate(resolve));
    }
  })();
  return {
    acknowledged: () => acknowledged,
    async reaches(count: number) {
      while (acknowledged < count) await new Promise((resolve) => setImmediate(resolve));
    },
    async stop() {
      stopped = true;
      await done;
    },
  };
}

const ANOTHER: Readonly<Record<string, () => Promise<Omit<Place, 'run'>>>> = {
  SQLite: async () => ({ dataDir: aDataDir(), databaseUrl: null }),
  PostgreSQL: async () => ({ dataDir: 'unused', databaseUrl: await aDatabaseUrl() }),
};

describe.each(DATABASES)('a backup of %s, taken while others write', (_name, aPlace) => {
  it.each(Object.keys(ANOTHER))('brings back every message acknowledged before it, whole, into %s', async (where) => {
    const place = await aPlace();
    const store = await openOn(place, clock, cipher);
    const writers = ['k1', 'k2', 'k3'].map((id) => writer(store, id));
    for (const one of writers) await one.reaches(20);
    const before = writers.map((one) => one.acknowledged());
    const file = join(aDataDir(), 'lapwing.backup');
    const { stdout, stderr } = await run('backup', place, file);
    const during = writers.map((one) => one.acknowledged());
    for (const one of writers) await one.stop();
    expect(during.every((count, i) => count > (before[i] ?? 0))).toBe(true);
    expect(stderr).toContain('The key is not in the backup');
    expect(statSync(file).mode & 0o777).toBe(0o600);
    expect(readFileSync(file).includes('message 0 of k1')).toBe(false);

    const target = await (ANOTHER[where] as () => Promise<Omit<Place, 'run'>>)();
    const restored = await run('restore', target, file);
    expect(restored.stdout).toBe(stdout);
    expect(restored.stderr).toBe('');
    const back = await openOn(target, clock, cipher);
    for (const [i, id] of ['k1', 'k2', 'k3'].entries()) {
      const { version = 0 } = (await back.conversations.load(id)) ?? {};
      expect(version).toBeGreaterThanOrEqual(before[i] ?? 0);
      const thread = await back.conversations.thread(id, 0);
      // Never half a turn: each message with its reply.
      expect(thread.map(({ text }) => text).filter((text) => text.startsWith('message'))).toEqual(
        Array.from({ length: version }, (_, turn) => `message ${turn} of ${id}`),
      );
      expect(thread).toHaveLength(2 * version);
    }
    const due = await back.outbox.due('2027-01-01T00:00:00.000Z', 10_000);
    const turns = await Promise.all(
      ['k1', 'k2', 'k3'].map(async (id) => (await back.conversations.load(id))?.version ?? 0),
    );
    expect(due).toHaveLength(turns.reduce((sum, count) => sum + count, 0));
    const next = aTurn({ expectedVersion: turns[0] ?? 0, incoming: null, replyId: 'next' });
    expect(await back.conversations.commit(next)).toBe('committed');
  });

  it('does not write over a file', async () => {
    const place = await aPlace();
    await openOn(place, clock);
    const file = join(aDataDir(), 'kept');
    writeFileSync(file, 'something of mine');
    await expect(backUp(place, file)).rejects.toThrow(/already. Nothing was written/);
    expect(readFileSync(file, 'utf8')).toBe('something of mine');
  });
});

/** A backup of one conversation, and where it came from. */
async function aBackup() {
  const dataDir = aDataDir();
  const store = await openOn({ dataDir, databaseUrl: null }, clock, cipher);
  await store.conversations.commit(aTurn());
  const file = join(aDataDir(), 'lapwing.backup');
  await backUp({ dataDir, databaseUrl: null }, file);
  return { dataDir, store, file };
}

const into = (dataDir: string, replace = false) => ({ dataDir, databaseUrl: null, replace, at });

describe('restoring', () => {
  it('replaces a database only when told, keeps the old one aside, and not while the service runs', async () => {
    const { dataDir, store, file } = await aBackup();
    await store.conversations.commit(aTurn({ conversationId: 'later' }));
    await expect(restore(file, into(dataDir))).rejects.toThrow(/only with --replace; nothing was changed/);
    await expect(restore(file, into(dataDir, true))).rejects.toThrow(/Stop the service first; nothing was changed/);
    expect(await store.conversations.load('later')).not.toBeNull();
    await store.close();
    await restore(file, into(dataDir, true));
    const back = await openOn({ dataDir, databaseUrl: null }, clock, cipher);
    expect(await back.conversations.load('k1')).not.toBeNull();
    expect(await back.conversations.load('later')).toBeNull();
    await back.close();
    const aside = readdirSync(dataDir).filter((name) => name.includes('replaced'));
    expect(aside).toEqual(['lapwing.db.replaced-20260516T120000000Z']);
    expect(
      (await checkBackup(join(dataDir, aside[0] ?? ''))).find(({ table }) => table === 'conversations')?.rows,
    ).toBe(2);
  });

  it('puts nothing into a PostgreSQL that holds a row', async () => {
    const { file } = await aBackup();
    const databaseUrl = await aDatabaseUrl();
    const target = { dataDir: '', databaseUrl, replace: true, at };
    await restore(file, target);
    await expect(restore(file, target)).rejects.toThrow(/The target is not empty/);
  });

  it('says so when the key of the backup is not here, and makes none', async () => {
    const { file } = await aBackup();
    const dataDir = aDataDir();
    const env = { PATH: process.env.PATH, LAPWING_DATA_DIR: dataDir };
    const { stderr } = await promisify(execFile)(process.execPath, ['src/cli/restore.ts', file], { cwd: ROOT, env });
    expect(stderr).toMatch(/The key of this backup is not here/);
    expect(existsSync(join(dataDir, 'secret.key'))).toBe(false);
  });

  it.each([
    ['is not there', (file: string) => rmSync(file)],
    ['is something else', (file: string) => writeFileSync(file, 'hello')],
    ['is empty', (file: string) => writeFileSync(file, '')],
    ['was cut off', (file: string) => writeFileSync(file, readFileSync(file).subarray(0, 40_000))],
    ['has a damaged page', (file: string) => writeFileSync(file, readFileSync(file).fill(0xff, 20_000, 24_000))],
  ])('refuses a file that %s, and changes nothing', async (_what, damage) => {
    const { file } = await aBackup();
    damage(file);
    const dataDir = aDataDir();
    await expect(restore(file, into(dataDir))).rejects.toThrow(/damaged|no backup|no file/);
    expect(readdirSync(dataDir)).toEqual([]);
  });

  it('brings a backup of an earlier version up to date, in both databases, and leaves the file as it was', async () => {
    const dataDir = aDataDir();
    const file = join(dataDir, 'lapwing.db');
    const { DatabaseSync } = await import('node:sqlite');
    const { Kysely } = await import('kysely');
    const { sqliteDialect } = await import('#src/store/sqlite.ts');
    const db = new Kysely<never>({ dialect: sqliteDialect(new DatabaseSync(file)) });
    const migrator = new Migrator({ db, provider: { getMigrations: async () => ({ ...MIGRATIONS }) } });
    expect((await migrator.migrateTo('0005-by-activity')).error).toBeUndefined();
    await db.destroy();
    const raw = new DatabaseSync(file);
    raw.exec(`insert into conversations (id, channel, language, state, version, last_seq, created_at, updated_at)
      values ('old', 'sms', 'es', 'talking', 1, 0, '${at}', '${at}')`);
    raw.close();
    const bytes = readFileSync(file);
    for (const target of [into(aDataDir()), { ...into(''), databaseUrl: await aDatabaseUrl() }]) {
      await restore(file, target);
      const backend = await openBackend(target);
      const rows = await backend.db.selectFrom('conversations').select(['id', 'channel_address']).execute();
      await backend.close();
      expect(rows).toEqual([{ id: 'old', channel_address: null }]);
    }
    expect(readFileSync(file).equals(bytes)).toBe(true);
  });

  it('refuses a backup of a later version', async () => {
    const { file } = await aBackup();
    const { DatabaseSync } = await import('node:sqlite');
    const later = new DatabaseSync(file);
    later.exec(`insert into kysely_migration (name, timestamp) values ('9999-later', '${at}')`);
    later.close();
    const dataDir = aDataDir();
    await expect(restore(file, into(dataDir))).rejects.toThrow(/cannot be brought to this version/);
    expect(existsSync(join(dataDir, 'lapwing.db'))).toBe(false);
  });
});
