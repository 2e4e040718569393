import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { loadPageLanguages } from '#src/page/languages.ts';
import { type ServiceProcess, startProcess } from '../src/support/start-process.ts';
import { axeProblems } from './axe.ts';
import { complaints, openBrowser, PHONE } from './browser.ts';
import { caregiverOnPage } from './caregiver-on-page.ts';
import { familyAnswer } from './page-answers.ts';

const MOST_QUESTIONS = 40;
const LANGUAGES = ['en', 'es', 'ar', 'zh-Hans'];

let browser: Browser;
let service: ServiceProcess;
let dataDir: string;
beforeAll(async () => {
  dataDir = mkdtempSync(join(tmpdir(), 'lapwing-languages-'));
  [browser, service] = await Promise.all([openBrowser(), startProcess(dataDir)]);
});
afterEach(async () => {
  await Promise.all(browser.contexts().map((context) => context.close()));
});
afterAll(async () => {
  await browser.close();
  await service.end('SIGKILL');
  rmSync(dataDir, { recursive: true });
});

async function open(language: string) {
  const page = await (await browser.newContext(PHONE)).newPage();
  const heard = complaints(page);
  const caregiver = caregiverOnPage(page);
  await page.goto(`${service.url}/?event=demo&lang=${language}`);
  await caregiver.begin();
  return { page, heard, caregiver };
}

/** What sticks out of the window or is cut off at its side. */
const sideways = (page: Page) =>
  page.evaluate(() => [document.documentElement.scrollWidth, document.querySelector('main')?.scrollWidth ?? 0]);

/** Words of buttons that stand on two lines; Chinese and Korean may break between any two characters. */
const brokenWords = (page: Page) =>
  page.evaluate(() => {
    if (/^(zh|ko)/.test(document.documentElement.lang)) return [];
    const broken: string[] = [];
    for (const button of document.querySelectorAll('main .seat, main .choice')) {
      const text = button.firstChild;
      if (!(text instanceof Text)) continue;
      for (const { index, 0: word } of text.data.matchAll(/[^\s-]+/g)) {
        const range = document.createRange();
        range.setStart(text, index);
        range.setEnd(text, index + word.length);
        if (new Set([...range.getClientRects()].map(({ top }) => Math.round(top))).size > 1) broken.push(word);
      }
    }
    return broken;
  });

describe.each(LANGUAGES)('a whole conversation in %s', (language) => {
  it('has its texts', () => {
    for (const file of ['chat', 'page', 'pictures', 'about']) {
      expect(existsSync(new URL(`../../locales/${language}/${file}.json`, import.meta.url)), file).toBe(true);
    }
  });

  it('is without fault for axe-core at WCAG 2.2 AA on every step, until it is sent', async () => {
    const { page, heard, caregiver } = await open(language);
    const { width } = PHONE.viewport;
    const asked: string[] = [];
    while (!caregiver.reply().done && asked.length < MOST_QUESTIONS) {
      asked.push(String(caregiver.reply().asking));
      expect(await sideways(page), asked.join()).toEqual([width, width]);
      expect(await brokenWords(page), asked.join()).toEqual([]);
      expect(await axeProblems(page), asked.join()).toEqual([]);
      if (caregiver.reply().asking === 'attachment') {
        await page.locator('.picture').first().tap();
        expect(await axeProblems(page), 'a picture made bigger').toEqual([]);
        await page.locator('dialog[open] .plain').tap();
      }
      await caregiver.answer(familyAnswer(caregiver.reply()));
    }
    expect(caregiver.reply()).toMatchObject({ done: true, language });
    expect(await axeProblems(page), 'sent').toEqual([]);
    await page.locator('.menu-button').tap();
    expect(await axeProblems(page), 'menu').toEqual([]);
    expect(asked).toEqual(expect.arrayContaining(['consent', 'weight', 'seat-history', 'position', 'review']));
    expect(await page.locator('.danger').count()).toBeGreaterThan(0);
    expect(heard).toEqual([]);
  }, 240_000);
});

const OTHERS = loadPageLanguages()
  .map(({ tag }) => tag)
  .filter((tag) => !LANGUAGES.includes(tag));

it.each(OTHERS)(
  'a whole conversation in %s fits a phone and ends with the family being told so',
  async (language) => {
    const { page, heard, caregiver } = await open(language);
    const { width } = PHONE.viewport;
    const asked: string[] = [];
    while (!caregiver.reply().done && asked.length < MOST_QUESTIONS) {
      asked.push(String(caregiver.reply().asking));
      expect(await sideways(page), asked.join()).toEqual([width, width]);
      expect(await brokenWords(page), asked.join()).toEqual([]);
      await caregiver.answer(familyAnswer(caregiver.reply()));
    }
    expect(caregiver.reply()).toMatchObject({ done: true, language });
    expect(await page.evaluate(() => document.documentElement.lang)).toBe(language);
    expect(heard).toEqual([]);
  },
  120_000,
);

describe('the menu', () => {
  it.each(LANGUAGES)('changes to %s and is then in it, with its direction', async (language) => {
    const { page, caregiver } = await open(language === 'en' ? 'es' : 'en');
    await page.locator('.menu-button').tap();
    await page.locator(`dialog [lang="${language}"]`).tap();
    await page.waitForFunction((wanted) => document.documentElement.lang === wanted, language);
    expect(caregiver.reply().language).toBe(language);
    expect(await page.evaluate(() => document.documentElement.dir)).toBe(language === 'ar' ? 'rtl' : 'ltr');
    expect(await page.locator('.notice').count()).toBe(1);
  });
});

it('is in its direction and language before any script has run', async () => {
  const context = await browser.newContext({ ...PHONE, javaScriptEnabled: false });
  const page = await context.newPage();
  await page.goto(`${service.url}/?lang=ar`);
  expect(await page.evaluate(() => [document.documentElement.lang, document.documentElement.dir])).toEqual([
    'ar',
    'rtl',
  ]);
});
