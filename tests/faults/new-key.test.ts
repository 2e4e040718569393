import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { type ServiceProcess, startProcess } from '../src/support/start-process.ts';

const FIRST = 'the-first-key-of-this-test-0123456789';
const SECOND = 'the-second-key-of-this-test-0123456789';
const THIRD = 'a-key-that-never-sealed-anything-here';

interface Started {
  readonly conversationId: string;
  readonly token: string;
  readonly key: string;
  readonly resumed: boolean;
  readonly activities: readonly { readonly text: string }[];
}

let dataDir: string;
let service: ServiceProcess | null = null;
beforeAll(() => {
  dataDir = mkdtempSync(join(tmpdir(), 'lapwing-new-key-'));
});
afterAll(async () => {
  await service?.end('SIGKILL');
  rmSync(dataDir, { recursive: true });
});

async function restart(key: string, old?: string): Promise<void> {
  await service?.end('SIGTERM');
  service = null;
  const keys = { LAPWING_SECRET_KEY: key, ...(old && { LAPWING_SECRET_KEYS_OLD: old }) };
  service = await startProcess(dataDir, { LAPWING_DEMO: 'off', ...keys });
}

async function open(key: string | null): Promise<Started> {
  const answer = await fetch(`${service?.url}/chat/start`, {
    method: 'POST',
    body: JSON.stringify({ key, language: 'en' }),
  });
  return (await answer.json()) as Started;
}

it('a family comes back to its conversation after the key was replaced, and nothing opens without the right one', async () => {
  await restart(FIRST);
  const { conversationId, token, key } = await open(null);
  const said = await fetch(`${service?.url}/v3/directline/conversations/${conversationId}/activities`, {
    method: 'POST',
    headers: { Authorization: `Bearer ${token}` },
    body: JSON.stringify({ type: 'message', from: { id: 'u' }, text: 'yes, go on please' }),
  });
  expect(said.status).toBe(200);

  await expect(restart(THIRD)).rejects.toThrow(/ended with 1: .*LAPWING_SECRET_KEYS_OLD/s);

  await restart(SECOND, FIRST);
  const back = await open(key);
  expect(back).toMatchObject({ resumed: true, conversationId });
  expect(back.activities.map(({ text }) => text)).toContain('yes, go on please');

  // All is sealed under the second key by now, and the page has been given a new key of its own.
  await restart(SECOND);
  expect((await open(key)).resumed).toBe(false);
  expect(await open(back.key)).toMatchObject({ resumed: true, conversationId });

  await expect(restart(FIRST)).rejects.toThrow(/ended with 1/);
});
