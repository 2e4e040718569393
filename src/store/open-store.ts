import { chmodSync, mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { Kysely, Migrator, sql } from 'kysely';
import type { Clock } from '#src/clock.ts';
import type { FieldCipher } from '#src/protection/field-cipher.ts';
import { accountStore } from './accounts.ts';
import { arrivalStore } from './arrivals.ts';
import { auditStore } from './audit.ts';
import { type Backend, createQueue, createSignals } from './backend.ts';
import { boardStore } from './board.ts';
import { caseStore } from './cases.ts';
import { conversationStore } from './conversations.ts';
import { eventStore } from './events.ts';
import { groupingDialect } from './group-commit.ts';
import { guessStore } from './guesses.ts';
import { keptFormStore } from './kept-forms.ts';
import { MIGRATIONS } from './migrations.ts';
import { optOutStore } from './opt-outs.ts';
import { outboxStore } from './outbox.ts';
import { peopleStore } from './people.ts';
import { photoStore } from './photos.ts';
import { reportStore } from './reports.ts';
import { purge } from './retention.ts';
import { refuseSealed, sealAll } from './seal-all.ts';
import { sealedColumns } from './sealed-columns.ts';
import { sessionStore } from './sessions.ts';
import { openSqlite, openToRead, sqliteDialect, stopBlocking } from './sqlite.ts';
import type { Store } from './store.ts';
import { StoreError } from './store-error.ts';
import type { Database, Tables } from './tables.ts';
import { teamCalendarStore } from './team-calendars.ts';
import { visitStore } from './visits.ts';

export interface StoreOptions {
  /** Directory of the embedded database, made if it is not there; or `:memory:`. */
  readonly dataDir: string;
  /** PostgreSQL instead of the embedded database. */
  readonly databaseUrl?: string | null;
  readonly clock: Clock;
  /** Seals what people said before it is written; absent: it is written as it is. */
  readonly cipher?: FieldCipher;
}

/** In the data directory. */
export const DATABASE_FILE = 'lapwing.db';

function databaseFile(dataDir: string): string {
  if (dataDir === ':memory:') return dataDir;
  try {
    mkdirSync(dataDir, { recursive: true, mode: 0o700 });
  } catch (cause) {
    throw new StoreError(`The data directory ${dataDir} cannot be made.`, { cause });
  }
  return join(dataDir, DATABASE_FILE);
}

async function migrate(db: Database): Promise<void> {
  const migrator = new Migrator({ db, provider: { getMigrations: async () => ({ ...MIGRATIONS }) } });
  const { error } = await migrator.migrateToLatest();
  if (error) throw new StoreError('The database cannot be brought to this version.', { cause: error });
}

/** Brought up to date, and with one handle for writing and one for reading; in memory there can be no second one. */
async function openFile(file: string): Promise<{ db: Database; close: () => Promise<void> }> {
  const database = openSqlite(file);
  const migrating: Database = new Kysely<Tables>({ dialect: sqliteDialect(database) });
  try {
    if (file !== ':memory:') chmodSync(file, 0o600);
    await migrate(migrating);
    stopBlocking(database);
    if (file === ':memory:') return { db: migrating, close: () => migrating.destroy() };
    const reader = openToRead(file);
    const db: Database = new Kysely<Tables>({ dialect: groupingDialect(database, reader) });
    const close = async () => {
      await db.destroy();
      // The last to close writes the log back, which one for reading could not.
      for (const handle of [reader, database]) if (handle.isOpen) handle.close();
    };
    return { db, close };
  } catch (error) {
    await migrating.destroy();
    if (database.isOpen) database.close();
    throw error;
  }
}

/** The embedded database in a file. Throws `StoreError`. */
export async function openEmbedded(file: string): Promise<Backend> {
  const { db, close } = await openFile(file);
  const { emit, listen } = createSignals();
  return {
    db,
    skipsLocked: false,
    alone: createQueue(),
    tell: emit,
    listen,
    // Until the log is written back, the old pages stand in the file.
    wipe: async () => {
      await sql`pragma wal_checkpoint(truncate)`.execute(db);
    },
    close,
  };
}

async function remote(url: string): Promise<Backend> {
  const { openPostgres } = await import('./postgres.ts');
  const backend = await openPostgres(url);
  try {
    await migrate(backend.db);
    return backend;
  } catch (error) {
    await backend.close();
    throw error;
  }
}

/** Opens a database by its address, or the embedded one in its directory, and brings its tables up to date. Throws `StoreError`. */
export function openBackend({ dataDir, databaseUrl }: Pick<StoreOptions, 'dataDir' | 'databaseUrl'>): Promise<Backend> {
  return databaseUrl ? remote(databaseUrl) : openEmbedded(databaseFile(dataDir));
}

/** A backend whose columns with people's words are sealed; those written under no key, or an old one, are sealed anew. */
async function sealed(backend: Backend, cipher: FieldCipher | undefined): Promise<Backend> {
  try {
    await backend.alone('sealing', () => (cipher ? sealAll(backend, cipher) : refuseSealed(backend.db)));
    return cipher ? { ...backend, db: backend.db.withPlugin(sealedColumns(cipher)) } : backend;
  } catch (error) {
    await backend.close();
    throw error;
  }
}

/** Opens the database and gives the stores on it. Throws `StoreError`. */
export async function openStore(options: StoreOptions): Promise<Store> {
  const { clock } = options;
  const backend = await sealed(await openBackend(options), options.cipher);
  const { db } = backend;
  const effects = createSignals();
  const visits = visitStore(backend, clock);
  return {
    conversations: conversationStore(backend, effects.emit),
    cases: caseStore(db),
    events: eventStore(backend, clock),
    arrivals: arrivalStore(backend, clock),
    board: boardStore(backend, clock),
    teamCalendars: teamCalendarStore(db, clock),
    accounts: accountStore(db, clock),
    people: peopleStore(backend, clock),
    sessions: sessionStore(db, clock),
    guesses: guessStore(db, clock),
    keptForms: keptFormStore(db, clock),
    audit: auditStore(db, clock),
    outbox: outboxStore(backend, effects),
    optOuts: optOutStore(db),
    visits,
    photos: photoStore(backend),
    reports: reportStore(db, visits),
    alone: backend.alone,
    purge: (before) => purge(backend, before),
    ping: async () => {
      await sql`select 1`.execute(db);
    },
    close: backend.close,
  };
}
