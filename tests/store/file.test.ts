import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdirSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { Kysely } from 'kysely';
import { describe, expect, it } from 'vitest';
import { openStore } from '#src/store/open-store.ts';
import { openSqlite, sqliteDialect } from '#src/store/sqlite.ts';
import { StoreError } from '#src/store/store-error.ts';
import { aTurn } from '../factories/turn.ts';
import { aDataDir, aStore, NOON } from './places.ts';

const ROOT = new URL('../..', import.meta.url).pathname;
const clock = () => NOON;

describe('the database file', () => {
  it('keeps a write-ahead log, and nobody else may read it', async () => {
    const dataDir = aDataDir();
    await aStore(dataDir);
    const file = join(dataDir, 'lapwing.db');
    const other = new DatabaseSync(file);
    expect(other.prepare('pragma journal_mode').get()).toEqual({ journal_mode: 'wal' });
    other.close();
    expect(statSync(file).mode & 0o077).toBe(0);
  });

  it('holds what was committed after it is closed and opened again', async () => {
    const dataDir = join(aDataDir(), 'made', 'on the way');
    const before = await openStore({ dataDir, clock });
    await before.conversations.commit(aTurn());
    await before.close();
    const after = await aStore(dataDir);
    expect((await after.conversations.load('k1'))?.version).toBe(1);
    expect(await after.conversations.replyTo('k1', 'a1')).toEqual({ replyId: 'r1', reply: aTurn().reply });
  });

  it('holds what was committed when the process is killed', async () => {
    const dataDir = aDataDir();
    const script = `
      import { openStore } from '#src/store/open-store.ts';
      import { aTurn } from '#tests/factories/turn.ts';
      const store = await openStore({ dataDir: process.argv[1], clock: () => new Date(0) });
      console.log(await store.conversations.commit(aTurn()));
      setInterval(() => {}, 1000);`.replace('#tests/', `${new URL('..', import.meta.url).pathname}`);
    const child = spawn(process.execPath, ['--input-type=module', '-e', script, dataDir], { cwd: ROOT });
    const [said] = await once(child.stdout, 'data');
    child.kill('SIGKILL');
    await once(child, 'exit');
    expect(String(said)).toBe('committed\n');
    const { conversations } = await aStore(dataDir);
    expect(await conversations.replyTo('k1', 'a1')).toEqual({ replyId: 'r1', reply: aTurn().reply });
  });

  it('can be in memory', async () => {
    const store = await aStore(':memory:');
    expect(await store.conversations.commit(aTurn())).toBe('committed');
  });

  it('gives a snapshot that is no JSON any more as null, so that the conversation can go on', async () => {
    const dataDir = aDataDir();
    const { conversations } = await aStore(dataDir);
    await conversations.commit(aTurn());
    const other = new DatabaseSync(join(dataDir, 'lapwing.db'));
    other.exec(`update conversations set snapshot = '{"version":1,'`);
    other.close();
    expect(await conversations.load('k1')).toMatchObject({ version: 1, snapshot: null });
    expect(await conversations.commit(aTurn({ expectedVersion: 1, incoming: null, replyId: 'r2' }))).toBe('committed');
  });
});

describe('a disk that is full', () => {
  it('is said to be at fault, leaves nothing half written, and takes the same once there is room', async () => {
    const database = openSqlite(join(aDataDir(), 'lapwing.db'));
    const db = new Kysely<{ lines: { id: number; text: string } }>({ dialect: sqliteDialect(database) });
    database.exec('create table lines (id integer primary key, text text)');
    const write = () =>
      db.transaction().execute(async (trx) => {
        for (let id = 1; id <= 50; id++)
          await trx
            .insertInto('lines')
            .values({ id, text: 'x'.repeat(4000) })
            .execute();
      });
    // The database itself then answers as on a full disk; tests/faults/disk-full.test.ts has a real one.
    database.exec('pragma max_page_count = 20');
    await expect(write()).rejects.toMatchObject({ name: 'StoreUnavailableError', code: 'SQLITE_FULL' });
    expect(await db.selectFrom('lines').selectAll().execute()).toEqual([]);
    database.exec('pragma max_page_count = 1000');
    await write();
    expect(await db.selectFrom('lines').select('id').execute()).toHaveLength(50);
    await db.destroy();
  });
});

describe('a database that cannot be used', () => {
  it('is named when the file is no database', async () => {
    const dataDir = aDataDir();
    writeFileSync(join(dataDir, 'lapwing.db'), 'these are not the bytes of a database, by any reading'.repeat(40));
    await expect(openStore({ dataDir, clock })).rejects.toThrow(StoreError);
    await expect(openStore({ dataDir, clock })).rejects.toThrow(/lapwing\.db cannot be used/);
  });

  it('is named when a directory stands in its place, or a file in the place of its directory', async () => {
    const dataDir = aDataDir();
    mkdirSync(join(dataDir, 'lapwing.db'));
    await expect(openStore({ dataDir, clock })).rejects.toThrow(/lapwing\.db cannot be opened/);
    writeFileSync(join(dataDir, 'file'), '');
    await expect(openStore({ dataDir: join(dataDir, 'file'), clock })).rejects.toThrow(/cannot be made/);
  });

  it('is refused when a newer version has made it', async () => {
    const dataDir = aDataDir();
    await (await openStore({ dataDir, clock })).close();
    const other = new DatabaseSync(join(dataDir, 'lapwing.db'));
    other.exec(`insert into kysely_migration values ('9999-from-the-future', '2030-01-01')`);
    other.close();
    await expect(openStore({ dataDir, clock })).rejects.toThrow(/cannot be brought to this version/);
  });

  it('rejects when it is closed', async () => {
    const store = await openStore({ dataDir: aDataDir(), clock });
    await store.ping();
    await store.close();
    await expect(store.ping()).rejects.toThrow();
    await expect(store.conversations.load('k1')).rejects.toThrow();
  });
});
