import { chmodSync, mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { Kysely, Migrator, sql } from 'kysely';
import type { Clock } from '#src/clock.ts';
import { accountStore } from './accounts.ts';
import { auditStore } from './audit.ts';
import { caseStore } from './cases.ts';
import { conversationStore } from './conversations.ts';
import { eventStore } from './events.ts';
import { MIGRATIONS } from './migrations.ts';
import { outboxStore } from './outbox.ts';
import { sessionStore } from './sessions.ts';
import { openSqlite, sqliteDialect, stopBlocking } from './sqlite.ts';
import type { Store } from './store.ts';
import { StoreError } from './store-error.ts';
import type { Tables } from './tables.ts';

export interface StoreOptions {
  /** Directory of the embedded database, made if it is not there; or `:memory:`. */
  readonly dataDir: string;
  readonly clock: Clock;
}

function databaseFile(dataDir: string): string {
  if (dataDir === ':memory:') return dataDir;
  try {
    mkdirSync(dataDir, { recursive: true, mode: 0o700 });
  } catch (cause) {
    throw new StoreError(`The data directory ${dataDir} cannot be made.`, { cause });
  }
  return join(dataDir, 'lapwing.db');
}

async function migrate(db: Kysely<Tables>): Promise<void> {
  const migrator = new Migrator({ db, provider: { getMigrations: async () => ({ ...MIGRATIONS }) } });
  const { error } = await migrator.migrateToLatest();
  if (error) throw new StoreError('The database cannot be brought to this version.', { cause: error });
}

/** Opens the embedded database, brings its tables up to date and gives the stores on it. Throws `StoreError`. */
export async function openStore({ dataDir, clock }: StoreOptions): Promise<Store> {
  const file = databaseFile(dataDir);
  const database = openSqlite(file);
  const db = new Kysely<Tables>({ dialect: sqliteDialect(database) });
  try {
    if (file !== ':memory:') chmodSync(file, 0o600);
    await migrate(db);
    stopBlocking(database);
  } catch (error) {
    await db.destroy();
    if (database.isOpen) database.close();
    throw error;
  }
  return {
    conversations: conversationStore(db),
    cases: caseStore(db),
    events: eventStore(db, clock),
    accounts: accountStore(db, clock),
    sessions: sessionStore(db, clock),
    audit: auditStore(db, clock),
    outbox: outboxStore(db),
    ping: async () => {
      await sql`select 1`.execute(db);
    },
    close: () => db.destroy(),
  };
}
