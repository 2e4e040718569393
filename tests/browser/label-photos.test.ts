import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { openCamera } from '../label-photos/camera.ts';
import { DEGRADATIONS } from '../label-photos/degradations.ts';
import { labelOf } from '../label-photos/labels.ts';
import { isCounted, NO_SCORE, scored, wrongPaths } from '../label-photos/score.ts';
import { axeProblems } from './axe.ts';
import { complaints, DESKTOP, PHONE } from './browser.ts';
import { caregiverOnPage } from './caregiver-on-page.ts';
import { openedService } from './opened.ts';
import { familyAnswer } from './page-answers.ts';

// A small sample of `npm run -s labels`: one label each of four layouts and three languages.
const SAMPLE = [
  [0, 'tilted 12°'],
  [4, 'strong perspective'],
  [8, 'dim'],
  [9, 'turned 180°'],
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
}, 120_000);

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

const opened = openedService();
const MOST_QUESTIONS = 40;

/** The seat of the family of `page-answers.ts`, for which the label is. */
const CONVERTIBLE = { choose: ['convertible'] };

it('a family sends a photo of the label, confirms what was read, and the technician opens the photo at the desk', async () => {
  const page = await (await opened.browser.newContext({ ...PHONE, locale: 'en-US' })).newPage();
  const heard = complaints(page);
  const caregiver = caregiverOnPage(page);
  await page.goto(`${opened.service.url}/?lang=en`);
  await caregiver.begin();
  let readBack = '';
  for (let turn = 0; !caregiver.reply().done && turn < MOST_QUESTIONS; turn++) {
    const { asking } = caregiver.reply();
    if (asking === 'label-limits' && readBack === '') {
      await caregiver.photo(fileOf('0.jpg'));
      expect(caregiver.reply().asking).toBe('confirm');
      readBack = caregiver.reply().say.join(' ');
      await page.getByText('Your photo').waitFor();
      await caregiver.answer({ choose: ['yes'] });
    } else await caregiver.answer(asking === 'seat-kind' ? CONVERTIBLE : familyAnswer(caregiver.reply()));
  }
  expect(caregiver.reply().done).toBe(true);
  const made = String(labelOf(0).truth.manufactureDate).slice(0, 4);
  expect(readBack).toContain(made);
  const reference = /\b[2-9A-Z]{4}-[2-9A-Z]{4}\b/.exec((await page.getByRole('log').textContent()) ?? '')?.[0] ?? '';

  const desk = await (await opened.browser.newContext(DESKTOP)).newPage();
  heard.push(...complaints(desk));
  await desk.goto(opened.service.firstRunLink ?? '');
  await desk.locator('#name').fill('Robin');
  for (const field of ['#password', '#again']) await desk.locator(field).fill('a long password for tests');
  await desk.locator('main button[type=submit]').click();
  await desk.getByRole('link', { name: reference }).click();
  const photos = desk.locator('section[aria-labelledby=photos]');
  await photos.getByText(/values read by machine/).click();
  const date = photos.getByRole('row', { name: 'date of manufacture' });
  expect(await date.textContent()).toMatch(new RegExp(`${made}.*% sure.*The same`, 's'));
  expect(await axeProblems(desk)).toEqual([]);
  await photos.getByRole('link', { name: /^Photo of the label of .* seat, sent/ }).click();
  const whole = desk.getByRole('img', { name: /^Photo of the label of/ });
  const width = () => whole.evaluate((image: HTMLImageElement) => image.naturalWidth);
  await expect.poll(width).toBeGreaterThan(1000);
  expect(await axeProblems(desk)).toEqual([]);
  await desk.goto(`${opened.service.url}/desk/usage`);
  expect(await desk.locator('main').textContent()).toContain('photo looked at');
  expect(heard).toEqual([]);
}, 120_000);
