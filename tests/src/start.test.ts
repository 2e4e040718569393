import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, it } from 'vitest';

const folder = mkdtempSync(join(tmpdir(), 'lapwing-start-'));
afterAll(() => rmSync(folder, { recursive: true }));

const ROOT = new URL('../..', import.meta.url).pathname;
const start = (dataDir: string) =>
  spawnSync(process.execPath, ['src/start.ts'], {
    cwd: ROOT,
    env: { PATH: process.env.PATH, LAPWING_DATA_DIR: dataDir, LAPWING_PORT: 'none' },
    encoding: 'utf8',
  });

it('keeps what was compiled in the data directory, which nobody else may enter, and tells of wrong settings as ever', () => {
  const dataDir = join(folder, 'data');
  const { status, stderr } = start(dataDir);
  expect(status).toBe(2);
  expect(stderr).toContain('LAPWING_PORT');
  expect(statSync(dataDir).mode & 0o077).toBe(0);
  expect(readdirSync(join(dataDir, 'compiled'), { recursive: true }).length).toBeGreaterThan(100);
});

it('does without where there can be no such directory', () => {
  const file = join(folder, 'file');
  writeFileSync(file, '');
  expect(start(file)).toMatchObject({ status: 2, stderr: expect.stringContaining('LAPWING_PORT') });
});
