import type { DatabaseSync } from 'node:sqlite';
import type { CompiledQuery, DatabaseConnection, Dialect, Driver, QueryResult } from 'kysely';
import { adapt, beginImmediate, dialectOver, onDisk } from './sqlite.ts';
import { StoreUnavailableError } from './store-error.ts';

type Ending = PromiseWithResolvers<void>;

interface Connection extends DatabaseConnection {
  /** While it has a transaction: how its group ends, and how the next may write. */
  writing: { readonly group: Ending; readonly leave: () => void } | null;
}

/** Gives the way out to one after the other, in the order of the calls. */
function createTurnstile(): () => Promise<() => void> {
  let last = Promise.resolve();
  return async () => {
    const before = last;
    const { promise, resolve } = Promise.withResolvers<void>();
    last = promise;
    await before;
    return resolve;
  };
}

function runOn(database: DatabaseSync) {
  const { prepare } = adapt(database);
  return ({ sql, parameters }: CompiledQuery): QueryResult<never> => {
    const statement = prepare(sql);
    if (statement.reader) return { rows: statement.all(parameters) as never[] };
    const { changes, lastInsertRowid } = statement.run(parameters);
    return { numAffectedRows: BigInt(changes), insertId: BigInt(lastInsertRowid), rows: [] };
  };
}

/**
 * Commits the transactions that come while one is under way together with it, so that the disk is waited for once. Each
 * is a savepoint: what one of them takes back, the others keep. None is told its end before that of its group, good or
 * bad, also where it was taken back: it may have been so for what another of the group has written. Whatever reads
 * outside of a transaction does so by `reader`, and sees only what is on the disk. The handles are the caller's to close.
 */
function groupingDriver(writer: DatabaseSync, reader: DatabaseSync): Driver {
  const [write, read] = [runOn(writer), runOn(reader)];
  const mayWrite = createTurnstile();
  let group: Ending | null = null;

  /** Only while no transaction is under way. */
  function endGroup(): void {
    const ending = group;
    group = null;
    if (!ending) return;
    try {
      onDisk(() => writer.exec('commit'));
      ending.resolve();
    } catch (error) {
      if (writer.isTransaction) writer.exec('rollback');
      ending.reject(error);
    }
  }

  async function ungrouped<T>(work: () => T): Promise<T> {
    const leave = await mayWrite();
    try {
      endGroup();
      return work();
    } finally {
      leave();
    }
  }

  async function begunGroup(): Promise<Ending> {
    await beginImmediate(writer);
    const ending = Promise.withResolvers<void>();
    // Where all of the group were taken back, nobody hears of its end.
    ending.promise.catch(() => {});
    // After those whose requests have come in with this one.
    setImmediate(() => void ungrouped(() => {}));
    return ending;
  }

  async function begin(connection: Connection): Promise<void> {
    const leave = await mayWrite();
    try {
      group ??= await begunGroup();
      onDisk(() => writer.exec('savepoint one'));
      connection.writing = { group, leave };
    } catch (error) {
      leave();
      throw error;
    }
  }

  async function commit(connection: Connection): Promise<void> {
    const { writing: mine } = connection;
    if (!mine) return;
    onDisk(() => writer.exec('release one'));
    connection.writing = null;
    mine.leave();
    await mine.group.promise;
  }

  async function rollback(connection: Connection): Promise<void> {
    const { writing: mine } = connection;
    if (!mine) return;
    connection.writing = null;
    if (writer.isTransaction) writer.exec('rollback to one; release one');
    else {
      // A full disk undoes the whole transaction by itself.
      group = null;
      mine.group.reject(new StoreUnavailableError(null, 'SQLITE_ABORT'));
    }
    mine.leave();
    await mine.group.promise.catch(() => {});
  }

  async function alone(connection: Connection, query: CompiledQuery): Promise<QueryResult<never>> {
    await begin(connection);
    try {
      const result = write(query);
      await commit(connection);
      return result;
    } catch (error) {
      await rollback(connection);
      throw error;
    }
  }

  const connect = (): Connection => {
    const connection: Connection = {
      writing: null,
      async executeQuery<R>(query: CompiledQuery): Promise<QueryResult<R>> {
        if (connection.writing) return write(query);
        if (query.query.kind === 'SelectQueryNode') return read(query);
        // What was written by hand may be a pragma, which no transaction takes.
        if (query.query.kind === 'RawNode') return ungrouped(() => write(query));
        return alone(connection, query);
      },
      // biome-ignore lint/correctness/useYield: nothing is read this way
      async *streamQuery() {
        throw new Error('Results are read whole.');
      },
    };
    return connection;
  };

  return {
    init: async () => {},
    acquireConnection: async () => connect(),
    beginTransaction: (connection) => begin(connection as Connection),
    commitTransaction: (connection) => commit(connection as Connection),
    rollbackTransaction: (connection) => rollback(connection as Connection),
    releaseConnection: async () => {},
    destroy: () => ungrouped(() => {}),
  };
}

/** Kysely's SQLite dialect over two handles of one database file, with transactions committed in groups. */
export const groupingDialect = (writer: DatabaseSync, reader: DatabaseSync): Dialect =>
  dialectOver(() => groupingDriver(writer, reader));
