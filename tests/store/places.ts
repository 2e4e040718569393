import { randomUUID } from 'node:crypto';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import pg from 'pg';
import { inject, onTestFinished } from 'vitest';
import type { FieldCipher } from '#src/protection/field-cipher.ts';
import { openStore } from '#src/store/open-store.ts';
import type { Store } from '#src/store/store.ts';

/** A new directory that goes away with the test. */
export function aDataDir(): string {
  const dataDir = mkdtempSync(join(tmpdir(), 'lapwing-store-'));
  onTestFinished(() => rmSync(dataDir, { recursive: true, force: true }));
  return dataDir;
}

/** Runs one statement on a PostgreSQL database, past the store. */
async function runOn(url: string, statement: string): Promise<void> {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  try {
    await client.query(statement);
  } finally {
    await client.end();
  }
}

/** The address of a new, empty database on the run's PostgreSQL; it goes away with the server. */
export async function aDatabaseUrl(): Promise<string> {
  const server = inject('postgresUrl');
  const name = `t_${randomUUID().replaceAll('-', '')}`;
  await runOn(server, `create database ${name}`);
  return Object.assign(new URL(server), { pathname: name }).href;
}

/** Where a store lives: several stores may be opened on one place. */
export interface Place {
  readonly dataDir: string;
  readonly databaseUrl: string | null;
  /** Changes what is stored behind the store's back. */
  run(statement: string): Promise<void>;
}

function onDisk(dataDir = aDataDir()): Place {
  return {
    dataDir,
    databaseUrl: null,
    async run(statement) {
      const database = new DatabaseSync(join(dataDir, 'lapwing.db'));
      database.exec(statement);
      database.close();
    },
  };
}

async function onPostgres(): Promise<Place> {
  const databaseUrl = await aDatabaseUrl();
  return { dataDir: 'unused', databaseUrl, run: (statement) => runOn(databaseUrl, statement) };
}

/** What every test of the contract runs against. */
export const DATABASES: readonly (readonly [string, () => Promise<Place>])[] = [
  ['SQLite', async () => onDisk()],
  ['PostgreSQL', onPostgres],
];

export const NOON = new Date('2026-05-16T12:00:00.000Z');

/** A store, closed with the test. */
export async function openOn(
  { dataDir, databaseUrl }: Omit<Place, 'run'>,
  clock = () => NOON,
  cipher?: FieldCipher,
): Promise<Store> {
  const store = await openStore({ dataDir, databaseUrl, clock, ...(cipher && { cipher }) });
  onTestFinished(() => store.close());
  return store;
}

/** A store in a directory on disk, closed with the test. */
export const aStore = (dataDir = aDataDir(), clock = () => NOON): Promise<Store> =>
  openOn({ dataDir, databaseUrl: null }, clock);
