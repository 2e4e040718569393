import { randomUUID } from 'node:crypto';
import { Kysely, PostgresDialect, type PostgresPool } from 'kysely';
import pg from 'pg';
import { type Backend, createQueue, createSignals } from './backend.ts';
import { StoreError, StoreUnavailableError } from './store-error.ts';
import type { Tables } from './tables.ts';

const CONNECT_MS = 5000;
const STATEMENT_MS = 15_000;
/** A lock held longer than any turn takes belongs to an instance that hangs. */
const LOCK_WAIT_MS = 10_000;
const QUERY_CONNECTIONS = 10;
const LOCK_CONNECTIONS = 8;
const LISTEN_AGAIN_MS = 1000;
const CHANNEL = 'lapwing_thread';

/**
 * Codes after which trying again may work: classes 08 (connection), 53 (resources) and 57P (shut down or starting), a
 * lock not given in time (55P03), a statement cut off (57014), and the network's own.
 * https://www.postgresql.org/docs/18/errcodes-appendix.html
 */
const PASSING =
  /^(?:08\w{3}|53\w{3}|57P\d\d|57014|55P03|25P03|ECONN\w+|ETIMEDOUT|EPIPE|EHOSTUNREACH|ENETUNREACH|ENOTFOUND|EAI_AGAIN)$/;
// What the driver says without a code.
const PASSING_WORDS = /Connection terminated|timeout exceeded|read timeout|not queryable|Client has encountered/i;

function asStoreError(error: unknown): unknown {
  if (!(error instanceof Error)) return error;
  const code = (error as { code?: unknown }).code;
  const passing = typeof code === 'string' ? PASSING.test(code) : PASSING_WORDS.test(error.message);
  return passing ? new StoreUnavailableError(error) : error;
}

/** The driver's pool with its failures told apart. */
function adapt(pool: pg.Pool): PostgresPool {
  return {
    end: () => pool.end(),
    connect: async () => {
      const client = await pool.connect().catch((error: unknown) => Promise.reject(asStoreError(error)));
      return {
        query: (async (text: string, values: readonly unknown[]) => {
          try {
            return await client.query(text, [...values]);
          } catch (error) {
            throw asStoreError(error);
          }
        }) as never,
        release: () => client.release(),
      };
    },
  };
}

/** Listens for as long as the store is open; a connection lost is made anew. */
async function hear(
  settings: pg.ClientConfig,
  own: string,
  emit: (conversationId: string) => void,
): Promise<() => Promise<void>> {
  let closed = false;
  let client: pg.Client | null = null;
  let again: NodeJS.Timeout | null = null;
  const connect = async (): Promise<void> => {
    const next = new pg.Client(settings);
    client = next;
    next.on('notification', ({ payload = '' }) => {
      const [from, conversationId] = payload.split(' ');
      if (from !== own && conversationId) emit(conversationId);
    });
    let lost = false;
    const retry = () => {
      if (lost || closed) return;
      lost = true;
      again = setTimeout(() => void connect(), LISTEN_AGAIN_MS);
      again.unref();
    };
    next.on('error', retry);
    next.on('end', retry);
    try {
      await next.connect();
      await next.query(`listen ${CHANNEL}`);
    } catch {
      await next.end().catch(() => {});
      retry();
    }
  };
  await connect();
  return async () => {
    closed = true;
    if (again) clearTimeout(again);
    await client?.end().catch(() => {});
  };
}

/** PostgreSQL at a `postgres://` address. Throws a `StoreError` when it cannot be reached or entered. */
export async function openPostgres(url: string): Promise<Backend> {
  const settings = { connectionString: url, connectionTimeoutMillis: CONNECT_MS, application_name: 'lapwing' };
  const pool = new pg.Pool({
    ...settings,
    max: QUERY_CONNECTIONS,
    statement_timeout: STATEMENT_MS,
    query_timeout: STATEMENT_MS + 1000,
    idle_in_transaction_session_timeout: STATEMENT_MS,
  });
  const locks = new pg.Pool({ ...settings, max: LOCK_CONNECTIONS, lock_timeout: LOCK_WAIT_MS });
  // A connection that breaks while nothing runs on it says so by an event, which would end the process if nobody heard.
  for (const one of [pool, locks]) {
    one.on('error', () => {});
    one.on('connect', (client) => client.on('error', () => {}));
  }
  try {
    await pool.query('select 1');
  } catch (cause) {
    await Promise.all([pool.end(), locks.end()]);
    throw new StoreError('The database of LAPWING_DATABASE_URL cannot be reached or does not let us in.', { cause });
  }
  const db = new Kysely<Tables>({ dialect: new PostgresDialect({ pool: adapt(pool) }) });
  const queue = createQueue();
  const { emit, listen } = createSignals();
  const own = randomUUID();
  const stopHearing = await hear(settings, own, emit);

  async function locked<T>(key: string, work: () => Promise<T>): Promise<T> {
    const client = await locks.connect().catch((error: unknown) => Promise.reject(asStoreError(error)));
    let broken = true;
    try {
      await client.query('select pg_advisory_lock(hashtextextended($1, 0))', [key]).catch((error: unknown) => {
        throw asStoreError(error);
      });
      const result = await work().finally(async () => {
        // A connection that cannot give the lock back is closed, which does.
        broken = !(await client.query('select pg_advisory_unlock(hashtextextended($1, 0))', [key]).then(
          () => true,
          () => false,
        ));
      });
      return result;
    } finally {
      client.release(broken);
    }
  }

  return {
    db,
    skipsLocked: true,
    // One connection a key at most, so that one busy conversation cannot take them all.
    alone: (key, work) => queue(key, () => locked(key, work)),
    tell(conversationId) {
      emit(conversationId);
      // Lost with a lost connection; open streams look for themselves now and then.
      pool.query('select pg_notify($1, $2)', [CHANNEL, `${own} ${conversationId}`]).catch(() => {});
    },
    listen,
    // Its own vacuum does it.
    wipe: async () => {},
    async close() {
      await stopHearing();
      await Promise.all([db.destroy(), locks.end()]);
    },
  };
}
