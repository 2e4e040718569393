import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it, onTestFinished } from 'vitest';
import { assess } from '#shared/assess.ts';
import { parseCase } from '#shared/case.ts';
import { seedDemo } from '#src/demo/seed.ts';
import { firstRunLink } from '#src/desk/first-run.ts';
import { aSummary } from '../factories/summary.ts';
import { aTurn } from '../factories/turn.ts';
import { NAME, openDesk, PASSWORD } from '../src/desk/open-desk.ts';
import { axeProblems } from './axe.ts';
import { complaints, DESKTOP, openBrowser, PHONE } from './browser.ts';

const TABLET = { viewport: { width: 820, height: 1180 } };

let browser: Browser;
beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(() => browser.close());

async function withDemo(language = 'en') {
  const desk = await openDesk({ language });
  await seedDemo(desk.store, { clock: () => desk.clock.now });
  return desk;
}

async function aPage(options: Parameters<Browser['newContext']>[0]): Promise<{ page: Page; context: BrowserContext }> {
  const context = await browser.newContext(options);
  onTestFinished(() => context.close());
  return { context, page: await context.newPage() };
}

/** Gives a page the session of a browser without scripts. */
async function signedInPage(desk: Awaited<ReturnType<typeof withDemo>>, options: Parameters<Browser['newContext']>[0]) {
  const { page, context } = await aPage(options);
  const session = (await desk.signedIn()).cookies.get('lapwing_desk') ?? '';
  await context.addCookies([{ name: 'lapwing_desk', value: session, url: desk.url, httpOnly: true, sameSite: 'Lax' }]);
  return page;
}

const wider = (page: Page): Promise<number> =>
  page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);

/** Things to press that are smaller than 24 by 24 CSS pixels, links within a sentence left out (WCAG 2.2, 2.5.8). */
const tooSmall = (page: Page): Promise<string[]> =>
  page.evaluate(() =>
    [...document.querySelectorAll<HTMLElement>('button, summary, input:not([type=hidden]), select, a.tap, a.button')]
      .filter((element) => element.offsetParent !== null)
      .filter((element) => element.getBoundingClientRect().height < 24 || element.getBoundingClientRect().width < 24)
      .map((element) => element.outerHTML.slice(0, 100)),
  );

/** A family at which most of what can be seen is wrong. */
function aWorstCase() {
  const parsed = parseCase({
    asOf: '2026-05-16',
    jurisdiction: 'US-CA',
    needsInterpreter: true,
    children: [{ id: 'c1', name: 'Wren', ageMonths: 20, weightKg: 11, heightCm: 82, medicalNeeds: true }],
    seats: [
      {
        id: 's1',
        description: 'a seat from a long way back in the family, with a long description',
        kind: 'convertible',
        expiryDate: '2020',
        acquired: 'unknown-second-hand',
        crash: { happened: true, drivable: false },
        labelReadable: false,
        partsComplete: false,
        certified: false,
        recall: 'open',
        registered: false,
      },
    ],
    vehicle: { positions: [{ id: 'p', row: 2, side: 'left', belt: 'inflatable', tetherAnchor: true, facing: 'side' }] },
    uses: [
      {
        childId: 'c1',
        seatId: 's1',
        positionId: 'p',
        mode: 'forward-facing',
        attachment: 'both',
        beltPath: 'rear-facing',
        beltLocked: false,
        twisted: true,
        tether: 'not-attached',
        movementCm: 8,
        harness: {
          straps: 'below',
          pinchable: true,
          chestClip: 'low',
          bulkyClothing: true,
          addOnProduct: true,
          infantInsert: true,
        },
      },
    ],
  });
  if (!parsed.ok) throw new Error(parsed.error.message);
  const assessment = assess(parsed.case);
  const verifyFirst = assessment.unknowns.map(({ fact }) => fact);
  return aSummary({ reference: 'WORST', case: parsed.case, assessment, verifyFirst });
}

describe.each([
  ['a laptop', DESKTOP],
  ['a laptop in the dark', { ...DESKTOP, colorScheme: 'dark' as const }],
  ['a tablet at the kerb', TABLET],
  ['a phone', PHONE],
  ['a phone in the dark', { ...PHONE, colorScheme: 'dark' as const }],
])('on %s', (_, options) => {
  it('every page can be read and used by everybody, and nothing is cut off', async () => {
    const desk = await withDemo();
    const { page: stranger } = await aPage(options);
    const link = await firstRunLink(desk.store, desk.url);
    const heard = complaints(stranger);
    const look = async (page: Page, path: string) => {
      await page.goto(path.startsWith('http') ? path : desk.url + path);
      await page.evaluate(() => {
        for (const details of document.querySelectorAll('details')) details.open = true;
      });
      expect(await axeProblems(page), path).toEqual([]);
      expect(await wider(page), path).toBeLessThanOrEqual(0);
      expect(await tooSmall(page), path).toEqual([]);
    };
    await look(stranger, link ?? '');
    await look(stranger, '/desk/sign-in');
    const page = await signedInPage(desk, options);
    heard.push(...complaints(page));
    await look(page, '/desk');
    await look(page, '/desk?q=nobody+at+all');
    await look(page, '/desk?language=es&priority=before-travel&event=demo');
    await look(page, '/desk?after=routine~2099~Z');
    for (const reference of ['DEMO-1', 'DEMO-2', 'DEMO-4', 'DEMO-5', 'DEMO-7'])
      await look(page, `/desk/cases/${reference}`);
    await look(page, '/desk/cases/DEMO-7/print');
    await look(page, '/desk/cases/NONE');
    expect(heard).toEqual([]);
  });
});

describe('a technician', () => {
  it('sets up the desk, opens the most pressing case and prints it, by keyboard alone', async () => {
    const desk = await withDemo();
    const { page } = await aPage(DESKTOP);
    await page.goto((await firstRunLink(desk.store, desk.url)) ?? '');
    const tabTo = async (name: string) => {
      for (let i = 0; i < 30; i++) {
        await page.keyboard.press('Tab');
        const at = await page.evaluate(() => {
          const element = document.activeElement as HTMLElement & { labels?: NodeListOf<HTMLElement> };
          return element.labels?.[0]?.textContent ?? element.textContent;
        });
        if (at?.trim().endsWith(name)) return;
      }
      throw new Error(`no way to "${name}" by keyboard`);
    };
    await tabTo('Your name');
    await page.keyboard.type(NAME);
    await tabTo('Password');
    await page.keyboard.type(PASSWORD);
    await tabTo('The same password again');
    await page.keyboard.type(PASSWORD);
    await page.keyboard.press('Enter');
    await page.waitForURL(`${desk.url}/desk`);
    await tabTo('DEMO-5');
    await page.keyboard.press('Enter');
    await page.waitForURL(`${desk.url}/desk/cases/DEMO-5`);
    expect(await page.locator('h1').textContent()).toBe('Lía');
    const urgent = page.getByRole('region', { name: 'Cannot wait' });
    expect(await urgent.getByRole('heading', { level: 3 }).first().textContent()).toBe(
      'Seat does not offer this way of riding',
    );
    const top = (await urgent.boundingBox())?.y ?? Number.POSITIVE_INFINITY;
    expect(top).toBeLessThan(DESKTOP.viewport.height / 3);
    await tabTo('Facts and sources');
    await page.keyboard.press('Enter');
    expect(await urgent.getByText('kind: rear-facing only').first().isVisible()).toBe(true);
    await page.addInitScript(() => {
      window.print = () => document.body.setAttribute('data-printed', 'yes');
    });
    await page.goto(`${desk.url}/desk/cases/DEMO-5/print`);
    await page.locator('body[data-printed]').waitFor();
    await page.goto(`${desk.url}/desk`);
    await tabTo('Sign out');
    await page.keyboard.press('Enter');
    await page.getByText('You are signed out.').waitFor();
    await page.goto(`${desk.url}/desk/cases/DEMO-5`);
    expect(page.url()).toContain('/desk/sign-in?next=');
  });

  it('finds a family by its own words, and comes back to the same list', async () => {
    const desk = await withDemo();
    const page = await signedInPage(desk, DESKTOP);
    await page.goto(`${desk.url}/desk`);
    await page.getByRole('searchbox').focus();
    await page.keyboard.type('MIRANDO');
    await page.keyboard.press('Enter');
    await page.waitForURL(/q=MIRANDO/);
    expect(await page.locator('.case h3').allTextContents()).toEqual(['DEMO-5']);
    await page.getByRole('link', { name: 'DEMO-5' }).focus();
    await page.keyboard.press('Enter');
    await page.waitForURL(/cases\/DEMO-5/);
    await page.goBack();
    expect(await page.getByRole('searchbox').inputValue()).toBe('MIRANDO');
    await page.getByText('Filters').focus();
    await page.keyboard.press('Enter');
    await page.getByLabel('Language').selectOption('ar');
    await page.getByRole('button', { name: 'Show' }).press('Enter');
    await page.getByText('No family matches.').waitFor();
  });

  it('needs no script: signing in, the list and a case work without', async () => {
    const desk = await withDemo();
    await desk.signedIn();
    const { page } = await aPage({ ...TABLET, javaScriptEnabled: false });
    await page.goto(`${desk.url}/desk/cases/DEMO-1`);
    await page.getByLabel('Name').fill(NAME);
    await page.getByLabel('Password').fill(PASSWORD);
    await page.getByRole('button', { name: 'Sign in' }).click();
    expect(page.url()).toBe(`${desk.url}/desk/cases/DEMO-1`);
    await page.getByRole('link', { name: 'Families' }).click();
    // The whole line is the target, not only the reference in it.
    await page.locator('.case', { hasText: 'DEMO-1' }).click();
    expect(page.url()).toBe(`${desk.url}/desk/cases/DEMO-1`);
    await page.getByText('Facts and sources').first().click();
    await page.getByRole('link', { name: 'Print' }).click();
    expect(await page.getByRole('button', { name: 'Print' }).count()).toBe(0);
  });

  it('gets one sheet of paper for each child, even where nearly everything is wrong', async () => {
    const desk = await withDemo();
    await desk.store.conversations.commit(aTurn({ summary: aWorstCase() }));
    const page = await signedInPage(desk, DESKTOP);
    for (const [reference, sheets] of [
      ['DEMO-7', 2],
      ['DEMO-2', 1],
      ['DEMO-4', 1],
      ['WORST', 1],
    ] as const) {
      await page.goto(`${desk.url}/desk/cases/${reference}/print`);
      for (const format of ['Letter', 'A4']) {
        const paper = (await page.pdf({ format })).toString('latin1');
        expect(paper.match(/\/Type\s*\/Page\b(?!s)/g), `${reference} on ${format}`).toHaveLength(sheets);
      }
    }
  });

  it('can work in Spanish', async () => {
    const desk = await withDemo('es');
    const page = await signedInPage(desk, PHONE);
    await page.goto(`${desk.url}/desk/cases/DEMO-7`);
    expect(await axeProblems(page)).toEqual([]);
    expect(await wider(page)).toBeLessThanOrEqual(0);
    expect(await page.getByRole('heading', { level: 2 }).first().textContent()).toBe('No puede esperar');
  });
});

describe('what is new', () => {
  const shows = (page: Page, words: RegExp) => page.getByRole('status').filter({ hasText: words }).waitFor();

  it('comes into the list without loading it again, is said politely, and leaves the keyboard where it was', async () => {
    const desk = await withDemo();
    const page = await signedInPage(desk, TABLET);
    const heard = complaints(page);
    const streaming = page.waitForResponse((response) => response.url().endsWith('/desk/live'));
    await page.goto(`${desk.url}/desk`);
    await streaming;
    expect(await page.locator('.news').getAttribute('role')).toBe('status');
    await page.getByRole('link', { name: 'DEMO-1', exact: true }).focus();
    await page.evaluate(() => document.body.setAttribute('data-same', 'yes'));
    const name = '<b>Wren</b>\u202E';
    const family = aSummary();
    for (const child of family.case.children) child.name = name;
    await desk.store.conversations.commit(aTurn({ summary: family }));
    await shows(page, /New or changed: <b>Wren<\/b>□ \(KV7-2QM\)/);
    expect(await page.locator('.case.fresh h3').allTextContents()).toEqual(['KV7-2QM']);
    expect(await page.locator('body[data-same]').count()).toBe(1);
    expect(await page.evaluate(() => document.activeElement?.textContent)).toBe('DEMO-1');
    expect(await page.getByRole('button', { name: 'Load the page again' }).isVisible()).toBe(false);
    expect(await axeProblems(page)).toEqual([]);
    await desk.store.conversations.commit(
      aTurn({ expectedVersion: 1, state: 'deleted', incoming: null, replyId: 'r2' }),
    );
    await shows(page, /The list has changed/);
    expect(await page.getByText('KV7-2QM').count()).toBe(0);
    expect(heard).toEqual([]);
  });

  it('about the case that is open is said, and loaded when the technician wants it', async () => {
    const desk = await withDemo();
    const page = await signedInPage(desk, PHONE);
    await desk.store.conversations.commit(aTurn({ summary: aSummary() }));
    const streaming = page.waitForResponse((response) => response.url().endsWith('/desk/live'));
    await page.goto(`${desk.url}/desk/cases/KV7-2QM`);
    await streaming;
    const summary = aSummary({ notes: 'prefers the morning' });
    await desk.store.conversations.commit(aTurn({ expectedVersion: 1, summary, incoming: null, replyId: 'r2' }));
    await shows(page, /This case has changed/);
    expect(await page.getByText('prefers the morning').count()).toBe(0);
    await page.getByRole('button', { name: 'Load the page again' }).click();
    await page.getByText('prefers the morning').waitFor();
  });

  it('can still be loaded by hand when the line breaks', async () => {
    const desk = await withDemo();
    const page = await signedInPage(desk, DESKTOP);
    const streaming = page.waitForResponse((response) => response.url().endsWith('/desk/live'));
    await page.goto(`${desk.url}/desk`);
    await streaming;
    desk.close();
    await shows(page, /do not arrive by themselves/);
    await desk.store.conversations.commit(aTurn({ summary: aSummary() }));
    await page.getByRole('button', { name: 'Load the page again' }).click();
    await page.getByText('KV7-2QM').waitFor();
  });
});

it.each([
  ['without a space', 'W'.repeat(10_000)],
  ['of wide letters', '﷽'.repeat(10_000)],
  ['turned around', `\u202E${'ابجد '.repeat(2_000)}\u2067`],
  ['of nothing but marks', `a${'\u0301'.repeat(9_999)}`],
  ['of line ends', '\n'.repeat(10_000)],
])('10,000 characters %s break no layout on a phone', async (_, text) => {
  const desk = await withDemo();
  const short = text.slice(0, 2000);
  const family = aSummary({
    reference: `X${text.trim()}`,
    event: text,
    notes: text,
    language: 'ar',
    caregiverWords: [{ asking: text, text, values: { weightKg: text, chosen: [text] } }],
  });
  for (const child of family.case.children) Object.assign(child, { name: short, sex: 'female' });
  for (const seat of family.case.seats)
    Object.assign(seat, {
      description: short,
      modelNumber: short,
      modes: { 'rear-facing': { maxWeightKg: 18, maxHeightCm: 110 } },
    });
  Object.assign(family.case.vehicle ?? {}, { description: short, vin: short });
  await desk.store.events.add({ id: text, name: text, place: text, timeZone: 'UTC', heldOn: '2026-05-20' });
  await desk.store.conversations.commit(aTurn({ eventId: text, summary: family }));
  const page = await signedInPage(desk, PHONE);
  await page.goto(`${desk.url}/desk`);
  expect(await wider(page), 'the list').toBeLessThanOrEqual(0);
  expect(await page.locator('.case').count()).toBe(8);
  // Too long for an address where it is the reference itself.
  const path = `${desk.url}/desk/cases/LONG`;
  await desk.store.conversations.commit(
    aTurn({ conversationId: 'k2', eventId: text, summary: { ...family, reference: 'LONG' } }),
  );
  for (const one of [path, `${path}/print`]) {
    await page.goto(one);
    await page.evaluate(() => {
      for (const details of document.querySelectorAll('details')) details.open = true;
    });
    expect(await wider(page), one).toBeLessThanOrEqual(0);
    expect(await page.locator('h2').count()).toBeGreaterThan(0);
  }
});

it('hostile text runs nothing', async () => {
  const desk = await withDemo();
  const hostile = `<img src=x onerror="document.title='run'"><script>document.title='run'</script>`;
  const family = aSummary({
    reference: 'HOSTILE',
    notes: hostile,
    caregiverWords: [{ asking: null, text: hostile, values: {} }],
  });
  for (const child of family.case.children) child.name = hostile;
  for (const seat of family.case.seats) seat.description = hostile;
  await desk.store.conversations.commit(aTurn({ summary: family }));
  const page = await signedInPage(desk, DESKTOP);
  for (const path of ['/desk', '/desk/cases/HOSTILE', '/desk/cases/HOSTILE/print']) {
    await page.goto(desk.url + path);
    expect(await page.title()).toContain('Lapwing desk');
    expect(await page.locator('img').count()).toBe(0);
  }
});
