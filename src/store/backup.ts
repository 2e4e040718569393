import { chmodSync, closeSync, existsSync, fsyncSync, openSync, renameSync, rmSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { backup as copyPages, DatabaseSync } from 'node:sqlite';
import { Kysely } from 'kysely';
import { copyStore, digestOf, type MovedTable, verifyStore } from './copy-store.ts';
import { DATABASE_FILE, openBackend, openEmbedded } from './open-store.ts';
import { sqliteDialect } from './sqlite.ts';
import { StoreError } from './store-error.ts';
import { TABLES_IN_ORDER, type TableName } from './table-pages.ts';
import type { Tables } from './tables.ts';

/** All pages in one step: a copy in several would begin again with every write that comes between. */
const ALL_PAGES = 2 ** 30;

/** Writes a file's bytes, and its name, through to the disk. */
export function settleFile(file: string): void {
  for (const path of [file, dirname(file)]) {
    const handle = openSync(path, 'r');
    fsyncSync(handle);
    closeSync(handle);
  }
}

/** Opens a backup and checks it as far as SQLite can; gives what is in it. Throws `StoreError`. */
export async function checkBackup(file: string): Promise<readonly MovedTable[]> {
  if (!existsSync(file)) throw new StoreError(`There is no file ${file}.`);
  let database: DatabaseSync | null = null;
  try {
    database = new DatabaseSync(file, { readOnly: true });
    const [found] = database.prepare('pragma integrity_check').all();
    const dangling = database.prepare('pragma foreign_key_check').all();
    if (found?.integrity_check !== 'ok' || dangling.length > 0) throw new StoreError(`The file ${file} is damaged.`);
    const names = database.prepare("select name from sqlite_schema where type = 'table'").all();
    const has = (table: TableName) => names.some(({ name }) => name === table);
    if (!has('conversations') || !has('thread')) throw new StoreError(`The file ${file} is no backup of this service.`);
    const db = new Kysely<Tables>({ dialect: sqliteDialect(database) });
    const tables: MovedTable[] = [];
    for (const table of TABLES_IN_ORDER) if (has(table)) tables.push(await digestOf(table, db));
    return tables;
  } catch (cause) {
    if (cause instanceof StoreError) throw cause;
    throw new StoreError(`The file ${file} is no backup of this service, or it is damaged.`, { cause });
  } finally {
    database?.close();
  }
}

/** The embedded database as it stands at one moment, while others go on writing. */
async function copyEmbedded(from: string, to: string): Promise<void> {
  if (!existsSync(from)) throw new StoreError(`There is no database file ${from}.`);
  const source = new DatabaseSync(from, { readOnly: true });
  try {
    await copyPages(source, to, { rate: ALL_PAGES });
  } finally {
    source.close();
  }
}

/** PostgreSQL as it stands at one moment, into a new embedded database. */
async function copyRemote(databaseUrl: string, to: string): Promise<void> {
  const source = await openBackend({ dataDir: '', databaseUrl });
  try {
    const target = await openEmbedded(to);
    try {
      const moved = await source.db
        .transaction()
        .setIsolationLevel('repeatable read')
        .execute((reading) => target.db.transaction().execute((writing) => copyStore(reading, writing)));
      // Only now: PostgreSQL ends a transaction that waits for long.
      await verifyStore(moved, target.db);
    } finally {
      await target.close();
    }
  } finally {
    await source.close();
  }
}

/**
 * Writes all that is kept, as it stands at one moment, into a new file, and checks it; the service may go on meanwhile.
 * The file is an embedded database whatever the source is. What people said stays sealed in it. Throws `StoreError`.
 */
export async function backUp(
  { dataDir, databaseUrl }: { readonly dataDir: string; readonly databaseUrl: string | null },
  file: string,
): Promise<readonly MovedTable[]> {
  if (existsSync(file)) throw new StoreError(`There is a file ${file} already. Nothing was written.`);
  const partial = `${file}.partial`;
  rmSync(partial, { force: true });
  // Made for its owner alone before anything stands in it.
  closeSync(openSync(partial, 'wx', 0o600));
  try {
    await (databaseUrl ? copyRemote(databaseUrl, partial) : copyEmbedded(join(dataDir, DATABASE_FILE), partial));
    const database = new DatabaseSync(partial);
    // So that it is one file, without a log beside it.
    database.exec('pragma journal_mode = delete');
    database.close();
    chmodSync(partial, 0o600);
    const tables = await checkBackup(partial);
    settleFile(partial);
    renameSync(partial, file);
    settleFile(file);
    return tables;
  } catch (error) {
    for (const end of ['', '-wal', '-shm', '-journal']) rmSync(`${partial}${end}`, { force: true });
    throw error;
  }
}
