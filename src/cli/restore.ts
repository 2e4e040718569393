import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { type Config, readConfig } from '#src/config.ts';
import { createFieldCipher } from '#src/protection/field-cipher.ts';
import { KEY_FILE, loadMasterSecret } from '#src/secret-key.ts';
import { openBackend } from '#src/store/open-store.ts';
import { restore } from '#src/store/restore.ts';
import { StoreError } from '#src/store/store-error.ts';

const USAGE = 'restore FILE [--replace]';

function fail(status: 1 | 2, lines: readonly string[]): never {
  for (const line of lines) process.stderr.write(`${line}\n`);
  process.exit(status);
}

function readOptions(): { file: string; replace: boolean } {
  try {
    const { values, positionals } = parseArgs({ options: { replace: { type: 'boolean' } }, allowPositionals: true });
    const [file, ...more] = positionals;
    if (file && more.length === 0) return { file, replace: values.replace ?? false };
  } catch {
    // The usage says it better.
  }
  return fail(2, [USAGE]);
}

/** Whether what was restored can be opened by the key that is here; none is made. */
async function isKeyHere(config: Config): Promise<boolean> {
  const backend = await openBackend(config);
  const sealed = await backend.db.selectFrom('sealing_keys').select('key_id').execute();
  await backend.close();
  if (sealed.length === 0) return true;
  if (config.secretKey === null && !existsSync(join(config.dataDir, KEY_FILE))) return false;
  const cipher = createFieldCipher(loadMasterSecret(config.secretKey, config.dataDir), config.secretKeysOld);
  return sealed.every(({ key_id }) => cipher.knows(key_id));
}

const { file, replace } = readOptions();
const settings = readConfig(process.env);
if (!settings.ok) fail(2, ['These settings cannot be used:', ...settings.problems]);
const { config } = settings;
try {
  const { dataDir, databaseUrl } = config;
  const tables = await restore(file, { dataDir, databaseUrl, replace, at: new Date().toISOString() });
  for (const table of tables) process.stdout.write(`${JSON.stringify(table)}\n`);
  if (!(await isKeyHere(config)))
    process.stderr.write(
      'The key of this backup is not here: set LAPWING_SECRET_KEY to it, or put its secret.key into the data directory, before the service is started.\n',
    );
} catch (error) {
  if (error instanceof StoreError) fail(1, [error.message]);
  throw error;
}
