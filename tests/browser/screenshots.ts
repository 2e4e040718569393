import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { startProcess } from '../src/support/start-process.ts';
import { DESKTOP, openBrowser, PHONE } from './browser.ts';
import { caregiverOnPage } from './caregiver-on-page.ts';
import { familyAnswer } from './page-answers.ts';

/** Makes the README's pictures from the real service: `node tests/browser/screenshots.ts`. */
const FOLDER = new URL('../../.github/screenshots/', import.meta.url).pathname;

const dataDir = mkdtempSync(join(tmpdir(), 'lapwing-pictures-'));
mkdirSync(FOLDER, { recursive: true });
const [browser, service] = await Promise.all([openBrowser(), startProcess(dataDir)]);
try {
  const phone = await (await browser.newContext(PHONE)).newPage();
  const caregiver = caregiverOnPage(phone);
  await phone.goto(`${service.url}/?event=demo&lang=en`);
  await caregiver.begin();
  while (caregiver.reply().told.length === 0) await caregiver.answer(familyAnswer(caregiver.reply()));
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
