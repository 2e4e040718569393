import { copyFileSync, existsSync, mkdirSync, mkdtempSync, renameSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { checkBackup, settleFile } from './backup.ts';
import type { MovedTable } from './copy-store.ts';
import { moveStore } from './move-store.ts';
import { DATABASE_FILE, openEmbedded } from './open-store.ts';
import { StoreError } from './store-error.ts';

export interface RestoreOptions {
  readonly dataDir: string;
  readonly databaseUrl: string | null;
  /** Put an embedded database that is there aside, under a name with `at`. */
  readonly replace: boolean;
  /** ISO 8601. */
  readonly at: string;
}

/** Throws where another process has the database open; its log is written back on the way. */
function takeAlone(file: string): void {
  const database = new DatabaseSync(file, { timeout: 0 });
  try {
    database.exec('pragma locking_mode = exclusive; begin exclusive; rollback; pragma wal_checkpoint(truncate)');
  } catch (cause) {
    throw new StoreError('The database is in use. Stop the service first; nothing was changed.', { cause });
  } finally {
    database.close();
  }
}

async function intoEmbedded(file: string, { dataDir, replace, at }: RestoreOptions): Promise<void> {
  const target = join(dataDir, DATABASE_FILE);
  if (existsSync(target) && !replace)
    throw new StoreError(
      `There is a database in ${dataDir} already. It is replaced only with --replace; nothing was changed.`,
    );
  mkdirSync(dataDir, { recursive: true, mode: 0o700 });
  const arriving = `${target}.restoring`;
  rmSync(arriving, { force: true });
  copyFileSync(file, arriving);
  // Brought to this version, and found to open, before anything that is there is touched.
  await (await openEmbedded(arriving)).close();
  settleFile(arriving);
  if (existsSync(target)) {
    takeAlone(target);
    renameSync(target, `${target}.replaced-${at.replace(/\W/g, '')}`);
    for (const end of ['-wal', '-shm']) rmSync(`${target}${end}`, { force: true });
  }
  renameSync(arriving, target);
  settleFile(target);
}

/** The file itself stays as it is, of whatever version. */
async function intoPostgres(file: string, databaseUrl: string): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'lapwing-restore-'));
  try {
    const copy = join(folder, DATABASE_FILE);
    copyFileSync(file, copy);
    await moveStore({ from: copy, to: databaseUrl });
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/**
 * Brings a backup back: into the data directory, or into an empty PostgreSQL; from either into either. The backup is
 * checked first, and nothing that is there is lost. Throws `StoreError`.
 */
export async function restore(file: string, options: RestoreOptions): Promise<readonly MovedTable[]> {
  const tables = await checkBackup(file);
  await (options.databaseUrl ? intoPostgres(file, options.databaseUrl) : intoEmbedded(file, options));
  return tables;
}
