import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import es from '#locales/es/take-home.json' with { type: 'json' };
import { type ServiceProcess, startProcess } from '../src/support/start-process.ts';
import { axeProblems } from './axe.ts';
import { complaints, DESKTOP, openBrowser, PHONE } from './browser.ts';
import { caregiverOnPage } from './caregiver-on-page.ts';

const PASSWORD = 'a long password for tests';

let browser: Browser;
let service: ServiceProcess;
let dataDir: string;
beforeAll(async () => {
  dataDir = mkdtempSync(join(tmpdir(), 'lapwing-thread-'));
  [browser, service] = await Promise.all([openBrowser(), startProcess(dataDir, { LAPWING_DEMO: 'off' })]);
});
afterAll(async () => {
  await browser.close();
  await service.end('SIGKILL');
  rmSync(dataDir, { recursive: true });
});

it('a caregiver asks for a person, a technician answers at the desk and hands back, and the bot asks on', async () => {
  const page = await (await browser.newContext({ ...PHONE, locale: 'es-MX' })).newPage();
  const heard = complaints(page);
  const caregiver = caregiverOnPage(page);
  await page.goto(`${service.url}/?lang=es`);
  await caregiver.begin();
  await caregiver.answer({ choose: ['yes'] });
  await caregiver.answer('quiero hablar con una persona');
  await caregiver.answer({ choose: ['skip'] });
  expect(caregiver.reply()).toMatchObject({ done: true, asking: null });

  const desk = await (await browser.newContext(DESKTOP)).newPage();
  const heardAtDesk = complaints(desk);
  await desk.goto(service.firstRunLink ?? '');
  await desk.locator('#name').fill('Robin');
  await desk.locator('#password').fill(PASSWORD);
  await desk.locator('#again').fill(PASSWORD);
  await desk.locator('main button[type=submit]').click();
  await desk.locator('#families h3 a').first().click();
  await desk.getByRole('link', { name: 'Thread with the caregiver' }).click();
  await desk.locator('#phrase').selectOption('on-my-way');
  await desk.getByRole('button', { name: 'Send this phrase' }).click();
  const sent = desk.locator('.thread-line.technician');
  await sent.first().waitFor();
  await desk.locator('#text').fill('Which seat <b>do</b> you have?');
  await desk.getByRole('button', { name: 'Send', exact: true }).click();
  await sent.nth(1).waitFor();
  expect(await axeProblems(desk)).toEqual([]);

  const fromPerson = page.locator('.line.technician .said');
  await fromPerson.nth(1).waitFor();
  expect(await fromPerson.allTextContents()).toEqual([es.phrase['on-my-way'], 'Which seat <b>do</b> you have?']);
  const spokenByBot = await page.locator('.line.bot').count();

  // What the technician is writing stays while the answer comes in by itself, and through a session that ends.
  await desk.locator('#text').fill('Half a sent');
  await page.getByRole('textbox').fill('Uno gris');
  await page.getByRole('textbox').press('Enter');
  await desk.locator('.thread-line.caregiver', { hasText: 'Uno gris' }).waitFor();
  expect(await desk.locator('#text').inputValue()).toBe('Half a sent');
  await page.waitForFunction(() => !document.querySelector('.waiting'));
  expect(await page.locator('.line.bot').count()).toBe(spokenByBot);
  await desk.context().clearCookies();
  await desk.getByRole('button', { name: 'Send', exact: true }).click();
  await desk.locator('#name').fill('Robin');
  await desk.locator('#password').fill(PASSWORD);
  await desk.locator('main button[type=submit]').click();
  await desk.locator('#text').waitFor();
  await expect.poll(() => desk.locator('#text').inputValue()).toBe('Half a sent');
  expect(await sent.count()).toBe(2);

  await desk.getByRole('button', { name: 'Hand back to the bot' }).click();
  await desk.getByText('The bot has this conversation.').waitFor();
  await page.waitForFunction((before) => document.querySelectorAll('.line.bot').length > before, spokenByBot);
  // The page may be ahead of the test, which reads along.
  await expect.poll(() => caregiver.reply().asking, { timeout: 20_000 }).toBe('child-count');
  expect(heard).toEqual([]);
  expect(heardAtDesk).toEqual([]);
}, 60_000);
