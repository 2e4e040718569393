import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it, onTestFinished } from 'vitest';
import { seedDemo } from '#src/demo/seed.ts';
import { type OpenDesk, openDesk } from '../src/desk/open-desk.ts';
import { axeProblems } from './axe.ts';
import { complaints, DESKTOP, openBrowser, PHONE } from './browser.ts';
import { readCode } from './read-code.ts';

const TABLET = { viewport: { width: 820, height: 1180 }, colorScheme: 'dark' as const };
const BOARD = '/desk/events/demo';
const ALL = ['ar', 'en', 'es', 'fr', 'ht', 'ko', 'pt-BR', 'ru', 'so', 'tl', 'vi', 'zh-Hans'];

let browser: Browser;
beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(() => browser.close());

async function withDemo(): Promise<OpenDesk> {
  const desk = await openDesk();
  await seedDemo(desk.store, { clock: () => desk.clock.now });
  return desk;
}

/** A page of somebody who is signed in. */
async function pageOf(
  desk: OpenDesk,
  role: 'coordinator' | 'technician',
  options: Parameters<Browser['newContext']>[0],
) {
  const context: BrowserContext = await browser.newContext(options);
  onTestFinished(() => context.close());
  const session = (await desk.as(role)).cookies.get('lapwing_desk') ?? '';
  await context.addCookies([{ name: 'lapwing_desk', value: session, url: desk.url, httpOnly: true, sameSite: 'Lax' }]);
  return context.newPage();
}

/** Goes on by the tabulator key until that is reached. */
async function reach(page: Page, selector: string): Promise<void> {
  for (let i = 0; i < 120; i++) {
    if (await page.evaluate((wanted) => document.activeElement?.matches(wanted), selector)) return;
    await page.keyboard.press('Tab');
  }
  throw new Error(`${selector} was not reached`);
}

it('the pages of an event can be read and used by everybody, on a phone and on a tablet', async () => {
  const desk = await withDemo();
  const most = ['/desk/events', '/desk/events/new', BOARD, `${BOARD}/edit`, `${BOARD}/poster`, '/desk/calendar'];
  for (const [options, paths] of [
    [PHONE, most],
    [TABLET, [BOARD, `${BOARD}/edit`]],
  ] as const) {
    const page = await pageOf(desk, 'coordinator', options);
    const heard = complaints(page);
    for (const path of paths) {
      await page.goto(desk.url + path);
      expect([path, await axeProblems(page)]).toEqual([path, []]);
      const wider = await page.evaluate(
        () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
      );
      expect([path, wider]).toEqual([path, 0]);
    }
    expect(heard).toEqual([]);
    await page.goto(desk.url + BOARD);
    // A time stands on one line, however narrow the screen.
    const heights = await page
      .locator('.board-line .at b')
      .evaluateAll((all) => all.map((one) => one.getBoundingClientRect().height));
    expect(Math.max(...heights)).toBeLessThan(60);
  }
});

it('a technician runs the board by keyboard alone at 360 px, and what others do moves no focus', async () => {
  const desk = await withDemo();
  const page = await pageOf(desk, 'technician', { viewport: { width: 360, height: 740 } });
  await page.goto(desk.url + BOARD);
  await reach(page, '.walk-in summary');
  await page.keyboard.press('Enter');
  await reach(page, '#who');
  await page.keyboard.type('blue van');
  await reach(page, '.walk-in button');
  await page.keyboard.press('Enter');
  await page.waitForURL(/\/arrivals\//);
  await reach(page, '.interview .button');
  await page.keyboard.press('Enter');
  await page.waitForURL(/\/desk\/events\/demo$/);
  const here = page.locator('section[aria-labelledby=here]');
  await reach(page, '#here ~ ol button[value=take]');
  await page.keyboard.press('Enter');
  await here.getByText(/with technician/).waitFor();
  await reach(page, '#expected ~ ol button[value=arrived]');
  const focused = () => page.evaluate(() => document.activeElement?.id);
  const before = await focused();

  const { arrivals } = await desk.store.arrivals.list('demo', { pageSize: 50, page: 0, states: ['booked'] });
  const last = arrivals.at(-1);
  await desk.store.arrivals.mark('demo', last?.id ?? '', 'booked', 'arrived');
  await here.locator(`a[href$="/${last?.family?.reference}"]`).waitFor();
  expect(await focused()).toBe(before);
  await page.keyboard.press('Enter');
  await expect.poll(() => here.locator('li.case').count()).toBe(3);
});

it('a poster of all twelve languages, with the longest names, fits one sheet, and its code is read', async () => {
  const desk = await withDemo();
  const page = await pageOf(desk, 'coordinator', DESKTOP);
  const event = await desk.store.events.byId('demo');
  if (!event) throw new Error('the demo has an event');
  const name = `<b>=1+1</b> ${'Spring seat check '.repeat(7)}`.slice(0, 120);
  await desk.store.events.change({ ...event, name, place: `\u202e${'Fire station yard '.repeat(12)}`.slice(0, 200) });
  for (const chosen of [['ar'], ALL.slice(0, 4), ALL]) {
    await page.goto(`${desk.url}${BOARD}/poster?${chosen.map((tag) => `lang=${tag}`).join('&')}`);
    expect(await page.locator('.tongue').count()).toBe(chosen.length);
    for (const format of ['A4', 'Letter']) {
      const paper = (await page.pdf({ format })).toString('latin1');
      expect([chosen.length, format, paper.match(/\/Type \/Page\b/g)?.length]).toEqual([chosen.length, format, 1]);
    }
    const address = `${desk.url.replace('127.0.0.1', 'localhost')}/?event=demo${chosen.length === 1 ? '&lang=ar' : ''}`;
    expect(await readCode(page)).toBe(address);
  }
  expect(await page.locator('.poster h2 b').count()).toBe(0);
});
