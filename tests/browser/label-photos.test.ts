import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { openCamera } from '../label-photos/camera.ts';
import { DEGRADATIONS } from '../label-photos/degradations.ts';
import { labelOf } from '../label-photos/labels.ts';
import { isCounted, NO_SCORE, scored, wrongPaths } from '../label-photos/score.ts';

// A small sample of `npm run -s labels`: one label each of four layouts and three languages.
const SAMPLE = [
  [0, 'clean'],
  [4, 'tilted 2°'],
  [8, 'light perspective'],
  [9, 'turned 180°'],
  [2, 'dim'],
] as const;

const directory = mkdtempSync(join(tmpdir(), 'lapwing-labels-'));
const fileOf = (name: string) => join(directory, name);
let lines: readonly {
  file: string;
  fields?: Record<string, { value: string | number; confidence: number }>;
  error?: object;
}[];
let status: number | null;

beforeAll(async () => {
  const camera = await openCamera();
  for (const [seed, name] of SAMPLE) {
    const degradation = DEGRADATIONS.find((one) => one.name === name);
    if (!degradation) throw new Error(name);
    writeFileSync(fileOf(`${seed}.jpg`), await camera.shoot(labelOf(seed), degradation, seed));
  }
  await camera.close();
  writeFileSync(fileOf('words.jpg'), 'no image at all');
  const files = [...SAMPLE.map(([seed]) => fileOf(`${seed}.jpg`)), fileOf('words.jpg'), fileOf('missing.jpg')];
  const result = spawnSync(process.execPath, ['src/cli/read-label.ts', ...files], { encoding: 'utf8' });
  status = result.status;
  lines = result.stdout
    .split('\n')
    .slice(0, -1)
    .map((line) => JSON.parse(line));
}, 60_000);

afterAll(() => rmSync(directory, { recursive: true }));

it('reads dates and limits of invented labels, and offers no wrong one', () => {
  let score = NO_SCORE;
  SAMPLE.forEach(([seed], i) => {
    const fields = lines[i]?.fields ?? {};
    expect(wrongPaths(labelOf(seed), fields)).toEqual([]);
    score = scored(score, labelOf(seed), fields, isCounted);
  });
  expect(score.right / score.expected).toBeGreaterThanOrEqual(0.95);
});

it('answers a file that is no image with an error of its own, and reads the others', () => {
  expect(status).toBe(2);
  expect(lines.slice(-2)).toEqual([
    { file: fileOf('words.jpg'), error: { code: 'no-image', message: 'this is no image' } },
    { file: fileOf('missing.jpg'), error: { code: 'unreadable', message: 'the file cannot be read' } },
  ]);
});
