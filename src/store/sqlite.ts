import { DatabaseSync, type SQLInputValue, type StatementSync } from 'node:sqlite';
import { setTimeout as wait } from 'node:timers/promises';
import {
  CompiledQuery,
  type DatabaseConnection,
  type Dialect,
  type Driver,
  SqliteAdapter,
  type SqliteDatabase,
  SqliteDriver,
  SqliteIntrospector,
  SqliteQueryCompiler,
} from 'kysely';
import { StoreError, StoreUnavailableError } from './store-error.ts';

const SQLITE_BUSY = 5;
/**
 * After these the transaction is undone, and the same may work once there is room or the disk answers again.
 * https://www.sqlite.org/rescode.html
 */
const DISK_AT_FAULT: ReadonlyMap<number, string> = new Map([
  [10, 'SQLITE_IOERR'],
  [13, 'SQLITE_FULL'],
]);
const BUSY_GIVE_UP_MS = 10_000;
const KEPT_STATEMENTS = 200;

const resultCode = (error: unknown): number =>
  error instanceof Error && 'errcode' in error ? Number(error.errcode) & 0xff : 0;

const isBusy = (error: unknown): boolean => resultCode(error) === SQLITE_BUSY;

/** Runs a statement; throws `StoreUnavailableError` where the disk is at fault. */
export function onDisk<T>(run: () => T): T {
  try {
    return run();
  } catch (error) {
    const code = DISK_AT_FAULT.get(resultCode(error));
    throw code ? new StoreUnavailableError(error, code) : error;
  }
}

type Prepared = ReturnType<SqliteDatabase['prepare']>;

function prepare(database: DatabaseSync, sql: string): Prepared {
  const statement: StatementSync = database.prepare(sql);
  const bind = (values: readonly unknown[]) => values as readonly SQLInputValue[];
  return {
    reader: statement.columns().length > 0,
    all: (values) => onDisk(() => statement.all(...bind(values))),
    run: (values) => onDisk(() => statement.run(...bind(values))),
    iterate: (values) => statement.iterate(...bind(values)),
  };
}

/** What Kysely's SQLite driver asks of a database, over the one Node has built in. */
export function adapt(database: DatabaseSync): SqliteDatabase {
  const kept = new Map<string, Prepared>();
  return {
    close: () => {
      kept.clear();
      database.close();
    },
    prepare: (sql) => {
      const known = kept.get(sql);
      if (known) return known;
      const prepared = prepare(database, sql);
      if (kept.size >= KEPT_STATEMENTS) kept.clear();
      kept.set(sql, prepared);
      return prepared;
    },
  };
}

/**
 * A transaction takes the write lock when it begins: one that reads first and writes later would fail when another
 * connection wrote meanwhile. Waiting for the lock is done between tries, so that the event loop stays free.
 */
export async function beginImmediate(database: DatabaseSync): Promise<void> {
  let waitedMs = 0;
  for (let pauseMs = 1; ; pauseMs = Math.min(pauseMs * 2, 50)) {
    try {
      onDisk(() => database.exec('begin immediate'));
      return;
    } catch (error) {
      if (!isBusy(error)) throw error;
      if (waitedMs >= BUSY_GIVE_UP_MS) throw new StoreUnavailableError(error, 'SQLITE_BUSY');
    }
    await wait(pauseMs);
    waitedMs += pauseMs;
  }
}

/** Kysely's SQLite dialect with a driver of its own. */
export const dialectOver = (createDriver: () => Driver): Dialect => ({
  createAdapter: () => new SqliteAdapter(),
  createIntrospector: (db) => new SqliteIntrospector(db),
  createQueryCompiler: () => new SqliteQueryCompiler(),
  createDriver,
});

/** Kysely's SQLite dialect over `node:sqlite`, with writing transactions. */
export const sqliteDialect = (database: DatabaseSync): Dialect =>
  dialectOver(() =>
    Object.assign(new SqliteDriver({ database: adapt(database) }), {
      beginTransaction: () => beginImmediate(database),
      async rollbackTransaction(connection: DatabaseConnection): Promise<void> {
        // A full disk undoes the transaction by itself; what went wrong must not be hidden by that.
        if (database.isTransaction) await connection.executeQuery(CompiledQuery.raw('rollback'));
      },
    }),
  );

const single = (database: DatabaseSync, pragma: string): unknown =>
  Object.values(database.prepare(`pragma ${pragma}`).get() ?? {})[0];

/**
 * Opens a database file (or `:memory:`) with write-ahead log, full synchronisation and foreign keys, each read back.
 * Throws a `StoreError` that names the file when it is no database, or the disk refuses the write-ahead log.
 */
export function openSqlite(file: string): DatabaseSync {
  let database: DatabaseSync;
  try {
    database = new DatabaseSync(file, { timeout: 5_000, enableForeignKeyConstraints: true });
  } catch (cause) {
    throw new StoreError(`The database file ${file} cannot be opened.`, { cause });
  }
  try {
    const mode = single(database, 'journal_mode = wal');
    database.exec('pragma synchronous = full; pragma secure_delete = on; pragma journal_size_limit = 67108864');
    const wanted = file === ':memory:' ? 'memory' : 'wal';
    if (mode !== wanted)
      throw new StoreError(`The database file ${file} keeps journal mode "${mode}", not "${wanted}".`);
    if (single(database, 'synchronous') !== 2 || single(database, 'foreign_keys') !== 1)
      throw new StoreError(`The database file ${file} does not take the settings it needs.`);
    return database;
  } catch (cause) {
    database.close();
    if (cause instanceof StoreError) throw cause;
    throw new StoreError(`The database file ${file} cannot be used.`, { cause });
  }
}

/** A second handle on a database file that is open already, for reading only. */
export const openToRead = (file: string): DatabaseSync => new DatabaseSync(file, { timeout: 5_000, readOnly: true });

/** From now on a held lock is waited for between tries, not inside the database call. */
export const stopBlocking = (database: DatabaseSync): void => database.exec('pragma busy_timeout = 0');
