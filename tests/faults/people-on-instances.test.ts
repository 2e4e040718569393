import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { DESKTOP, openBrowser, PHONE } from '../browser/browser.ts';
import { caregiverOnPage } from '../browser/caregiver-on-page.ts';
import { type ServiceProcess, startProcess } from '../src/support/start-process.ts';
import { aDatabaseUrl } from '../store/places.ts';
import { cuttable } from './cuttable.ts';

let browser: Browser;
let dataDir: string;
let way: Awaited<ReturnType<typeof cuttable>>;
let services: readonly ServiceProcess[];
beforeAll(async () => {
  dataDir = mkdtempSync(join(tmpdir(), 'lapwing-people-'));
  way = await cuttable(await aDatabaseUrl());
  const start = () =>
    startProcess(dataDir, {
      LAPWING_DATABASE_URL: way.url,
      LAPWING_SECRET_KEY: 'a key that both instances of this test share',
      LAPWING_LOG_LEVEL: 'silent',
    });
  // One after the other, since each start makes the link of the one before it void.
  const one = await start();
  services = [one, await start()];
  browser = await openBrowser();
});
afterAll(async () => {
  await browser.close();
  await Promise.all(services.map((service) => service.end('SIGKILL')));
  way.close();
  rmSync(dataDir, { recursive: true });
});

it('a technician who signs in at one instance is signed in at the other, and both show the same cases', async () => {
  const [one, two] = services as [ServiceProcess, ServiceProcess];
  const page = await (await browser.newContext(DESKTOP)).newPage();
  await page.goto(two.firstRunLink ?? '');
  await page.locator('#name').fill('Robin');
  await page.locator('#password').fill('a long password for tests');
  await page.locator('#again').fill('a long password for tests');
  await page.locator('main button[type=submit]').click();
  const links = page.locator('main a[href^="/desk/cases/"]');
  await links.first().waitFor();
  const shown = await links.allTextContents();
  expect(shown.length).toBeGreaterThan(3);
  // Cookies know no ports, so the browser takes its session along.
  await page.goto(`${one.url}/desk`);
  expect(await links.allTextContents()).toEqual(shown);
});

it('what a caregiver writes while the database is away is kept on the page and sent by itself when it is back', async () => {
  const [one] = services as [ServiceProcess];
  const page = await (await browser.newContext({ ...PHONE, locale: 'en-US' })).newPage();
  const caregiver = caregiverOnPage(page);
  await page.goto(`${one.url}/?event=demo&lang=en`);
  await caregiver.begin();
  await caregiver.answer({ choose: ['yes'] });
  expect(caregiver.reply().asking).toBe('child-count');
  way.cut();
  const refused = page.waitForResponse((answer) => answer.url().includes('/activities') && answer.status() === 503);
  await page.getByRole('textbox').fill('1');
  await page.getByRole('textbox').press('Enter');
  await refused;
  await page.getByText('Not sent yet').waitFor();
  way.mend();
  // It tries by itself, with growing pauses.
  await page.waitForFunction(() => document.querySelectorAll('.you').length === 2);
  await page.getByText('Not sent yet').waitFor({ state: 'detached' });
  await expect.poll(() => caregiver.reply().asking).toBe('age');
});
