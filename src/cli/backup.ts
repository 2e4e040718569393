import { readConfig } from '#src/config.ts';
import { backUp } from '#src/store/backup.ts';
import { StoreError } from '#src/store/store-error.ts';

function fail(status: 1 | 2, lines: readonly string[]): never {
  for (const line of lines) process.stderr.write(`${line}\n`);
  process.exit(status);
}

const [file, ...more] = process.argv.slice(2);
if (!file || file.startsWith('-') || more.length > 0) fail(2, ['backup FILE']);
const settings = readConfig(process.env);
if (!settings.ok) fail(2, ['These settings cannot be used:', ...settings.problems]);
try {
  for (const table of await backUp(settings.config, file)) process.stdout.write(`${JSON.stringify(table)}\n`);
  process.stderr.write(
    'The key is not in the backup: keep LAPWING_SECRET_KEY, or secret.key of the data directory, too.\n',
  );
} catch (error) {
  if (error instanceof StoreError) fail(1, [error.message]);
  throw error;
}
