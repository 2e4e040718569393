import { readConfig } from '#src/config.ts';
import { keptSince } from '#src/protection/retention-sweep.ts';
import { openBackend } from '#src/store/open-store.ts';
import { purge } from '#src/store/retention.ts';
import { StoreError } from '#src/store/store-error.ts';

function fail(status: 1 | 2, lines: readonly string[]): never {
  for (const line of lines) process.stderr.write(`${line}\n`);
  process.exit(status);
}

const settings = readConfig(process.env);
if (!settings.ok) fail(2, ['These settings cannot be used:', ...settings.problems]);
const { retentionDays } = settings.config;
if (retentionDays === null) fail(2, ['LAPWING_RETENTION_DAYS is 0: everything is kept.']);
try {
  const backend = await openBackend(settings.config);
  const before = keptSince(new Date(), retentionDays);
  process.stdout.write(`${JSON.stringify({ before, ...(await purge(backend, before)) })}\n`);
  await backend.close();
} catch (error) {
  if (error instanceof StoreError) fail(1, [error.message]);
  throw error;
}
