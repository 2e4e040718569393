import { parseArgs } from 'node:util';
import { readConfig } from '#src/config.ts';
import { auditStore } from '#src/store/audit.ts';
import { createSignals } from '#src/store/backend.ts';
import { openBackend } from '#src/store/open-store.ts';
import { outboxStore } from '#src/store/outbox.ts';
import { StoreError } from '#src/store/store-error.ts';

const USAGE = 'undelivered [--retry ID | --retry all]';
const MOST = 10_000;
const clock = () => new Date();

function fail(status: 1 | 2, lines: readonly string[]): never {
  for (const line of lines) process.stderr.write(`${line}\n`);
  process.exit(status);
}

function readOptions(): string | null {
  try {
    return parseArgs({ options: { retry: { type: 'string' } } }).values.retry ?? null;
  } catch {
    return fail(2, [USAGE]);
  }
}

const id = readOptions();
const settings = readConfig(process.env);
if (!settings.ok) fail(2, ['These settings cannot be used:', ...settings.problems]);
try {
  const backend = await openBackend(settings.config);
  // Nothing of what was said is read, so no key is needed.
  const outbox = outboxStore(backend, createSignals());
  if (id === null) {
    for (const letter of await outbox.deadLetters(MOST)) process.stdout.write(`${JSON.stringify(letter)}\n`);
  } else {
    const retried = await outbox.retry(id === 'all' ? null : id, clock().toISOString());
    if (retried > 0)
      await auditStore(backend.db, clock).note({ accountId: null, action: 'delivery-retried', subject: id });
    process.stdout.write(`${JSON.stringify({ retried })}\n`);
  }
  await backend.close();
} catch (error) {
  if (error instanceof StoreError) fail(1, [error.message]);
  throw error;
}
