import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { startProcess } from '../src/support/start-process.ts';
import { DESKTOP, openBrowser, PHONE } from './browser.ts';
import { caregiverOnPage, type Doing } from './caregiver-on-page.ts';

/** Makes the README's pictures from the real service: `node tests/browser/screenshots.ts`. */
const FOLDER = new URL('../../.github/screenshots/', import.meta.url).pathname;

const ANSWERS: readonly Doing[] = [
  { choose: ['yes'] },
  { choose: ['1'] },
  '5 months',
  '16 lb',
  '26 inches',
  { choose: ['none'] },
  { choose: ['rear-facing'] },
  { choose: ['rear-facing-only'] },
  '4-35 lb, up to 32 inches',
  'made May 2025, good for 6 years',
  { choose: ['new', 'not-registered'] },
  { choose: ['p1R'] },
  { choose: ['active'] },
];

const dataDir = mkdtempSync(join(tmpdir(), 'lapwing-pictures-'));
mkdirSync(FOLDER, { recursive: true });
const [browser, service] = await Promise.all([openBrowser(), startProcess(dataDir)]);
try {
  const phone = await (await browser.newContext(PHONE)).newPage();
  const caregiver = caregiverOnPage(phone);
  await phone.goto(`${service.url}/?event=demo&lang=en`);
  await caregiver.begin();
  for (const answer of ANSWERS) await caregiver.answer(answer);
  await phone.screenshot({ path: join(FOLDER, 'caregiver.png') });

  const desk = await (await browser.newContext(DESKTOP)).newPage();
  await desk.goto(service.firstRunLink ?? '');
  await desk.locator('#name').fill('Robin');
  for (const field of ['#password', '#again']) await desk.locator(field).fill('a long password for pictures');
  await desk.locator('main button[type=submit]').click();
  await desk.screenshot({ path: join(tmpdir(), 'desk-list.png') });
  await desk.locator('main a[href*="/desk/cases/"]').first().click();
  await desk.screenshot({ path: join(FOLDER, 'desk.png') });
} finally {
  await browser.close();
  await service.end('SIGKILL');
  rmSync(dataDir, { recursive: true });
}
