import { execFile } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterEach, expect, it } from 'vitest';
import { type ServiceProcess, startProcess } from '../src/support/start-process.ts';

const ROOT = new URL('../..', import.meta.url).pathname;
const SETTINGS = { LAPWING_DEMO: 'off', LAPWING_ADDRESS_LIMIT: '0', LAPWING_CONVERSATION_LIMIT: '0' };
const FAMILIES = 4;

let service: ServiceProcess | null = null;
const folder = mkdtempSync(join(tmpdir(), 'lapwing-drill-'));
afterEach(async () => {
  await service?.end('SIGKILL');
  rmSync(folder, { recursive: true, force: true });
});

const run = (script: string, dataDir: string, ...args: string[]) =>
  promisify(execFile)(process.execPath, [`src/cli/${script}.ts`, ...args], {
    cwd: ROOT,
    env: { PATH: process.env.PATH, LAPWING_DATA_DIR: dataDir },
  });

interface Opened {
  readonly conversationId: string;
  readonly token: string;
}

const headersOf = ({ token }: Opened) => ({ Authorization: `Bearer ${token}`, 'Content-Type': 'application/json' });
const addressOf = ({ conversationId }: Opened) =>
  `${service?.url}/v3/directline/conversations/${conversationId}/activities`;

async function opened(): Promise<Opened> {
  const answer = await fetch(`${service?.url}/v3/directline/conversations`, {
    method: 'POST',
    body: '{"locale":"en"}',
  });
  return (await answer.json()) as Opened;
}

it('every message acknowledged before the backup is there after the machine is lost, under load, with its key', async () => {
  const lost = join(folder, 'lost');
  service = await startProcess(lost, SETTINGS);
  const families = await Promise.all(Array.from({ length: FAMILIES }, opened));
  const acknowledged = families.map(() => 0);
  let loading = true;
  const load = families.map(async (family, i) => {
    for (let n = 0; loading; n++) {
      const body = JSON.stringify({
        type: 'message',
        from: { id: 'u' },
        text: `note ${n}`,
        channelData: { clientActivityID: `m${n}` },
      });
      const { ok } = await fetch(addressOf(family), { method: 'POST', headers: headersOf(family), body });
      expect(ok).toBe(true);
      acknowledged[i] = n + 1;
    }
  });
  while (acknowledged.some((count) => count < 15)) await new Promise((resolve) => setImmediate(resolve));
  const before = [...acknowledged];
  const file = join(folder, 'lapwing.backup');
  await run('backup', lost, file);
  const during = acknowledged.reduce((sum, count, i) => sum + count - (before[i] ?? 0), 0);
  expect(during).toBeGreaterThan(0);
  loading = false;
  await Promise.all(load);
  const key = readFileSync(join(lost, 'secret.key'));
  await service.end('SIGKILL');
  rmSync(lost, { recursive: true });

  const found = join(folder, 'found');
  const { stderr } = await run('restore', found, file);
  expect(stderr).toContain('The key of this backup is not here');
  writeFileSync(join(found, 'secret.key'), key, { mode: 0o600 });
  service = await startProcess(found, SETTINGS);
  let there = 0;
  for (const [i, family] of families.entries()) {
    const answer = await fetch(addressOf(family), { headers: headersOf(family) });
    const { activities } = (await answer.json()) as { activities: { text: string; from: { role: string } }[] };
    const said = activities.filter(({ from }) => from.role === 'user').map(({ text }) => text);
    expect(said).toEqual(said.map((_, n) => `note ${n}`));
    expect(said.length).toBeGreaterThanOrEqual(before[i] ?? 0);
    there += said.length;
  }
  const { ok } = await fetch(addressOf(families[0] as Opened), {
    method: 'POST',
    headers: headersOf(families[0] as Opened),
    body: JSON.stringify({ type: 'message', from: { id: 'u' }, text: 'and on' }),
  });
  expect(ok).toBe(true);
  const sum = before.reduce((all, count) => all + count, 0);
  process.stdout.write(`acknowledged before: ${sum}; during: ${during}; there after: ${there}\n`);
});
