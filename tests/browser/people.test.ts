import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it, onTestFinished } from 'vitest';
import { seedDemo } from '#src/demo/seed.ts';
import { NAME, type OpenDesk, openDesk, PASSWORD } from '../src/desk/open-desk.ts';
import { openProvider } from '../src/desk/openid-provider.ts';
import { axeProblems } from './axe.ts';
import { complaints, DESKTOP, openBrowser, PHONE } from './browser.ts';

const TABLET = { viewport: { width: 820, height: 1180 } };

let browser: Browser;
beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(() => browser.close());

async function aPage(options: Parameters<Browser['newContext']>[0]): Promise<{ page: Page; context: BrowserContext }> {
  const context = await browser.newContext(options);
  onTestFinished(() => context.close());
  return { context, page: await context.newPage() };
}

async function withSession(desk: OpenDesk, session: string, options: Parameters<Browser['newContext']>[0]) {
  const { page, context } = await aPage(options);
  await context.addCookies([{ name: 'lapwing_desk', value: session, url: desk.url, httpOnly: true, sameSite: 'Lax' }]);
  return page;
}

async function withDemo() {
  const desk = await openDesk();
  await seedDemo(desk.store, { clock: () => desk.clock.now });
  const session = (await desk.signedIn()).cookies.get('lapwing_desk') ?? '';
  return { desk, session };
}

it('the pages for people, the record of use, reports, stock and signing in can be read and used by everybody', async () => {
  const { desk, session } = await withDemo();
  const [lead] = await desk.store.people.list();
  const STOCK = '/desk/events/demo/stock';
  for (const options of [DESKTOP, TABLET, PHONE, { ...PHONE, colorScheme: 'dark' as const }]) {
    const page = await withSession(desk, session, options);
    const heard = complaints(page);
    for (const path of [
      '/desk/people',
      `/desk/people/${lead?.id}`,
      '/desk/usage',
      '/desk/reports',
      STOCK,
      '/desk/kept',
    ]) {
      await page.goto(desk.url + path);
      expect([path, await axeProblems(page)]).toEqual([path, []]);
      const wider = await page.evaluate(
        () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
      );
      expect([path, wider]).toEqual([path, 0]);
      if (path !== STOCK) continue;
      expect(await page.locator('tbody').first().textContent()).toContain('a seat with harness');
      const paper = (await page.pdf({ format: 'Letter' })).toString('latin1');
      expect(paper.match(/\/Type\s*\/Page\b(?!s)/g), 'one sheet').toHaveLength(1);
    }
    expect(heard.filter((line) => !line.includes('410'))).toEqual([]);
  }
});

it('a coordinator invites a technician by keyboard alone, and both work at once, each with what they may', async () => {
  const { desk, session } = await withDemo();
  const lead = await withSession(desk, session, DESKTOP);
  await lead.goto(`${desk.url}/desk/people`);
  const reach = async (selector: string) => {
    for (let i = 0; i < 60; i++) {
      if (await lead.evaluate((wanted) => document.activeElement?.matches(wanted), selector)) return;
      await lead.keyboard.press('Tab');
    }
    throw new Error(`${selector} was not reached`);
  };
  await reach('#name');
  await lead.keyboard.type('Sam Reed');
  await reach('input[name=which]');
  await lead.keyboard.press('ArrowDown');
  await reach('input[name=event]');
  await lead.keyboard.press('Space');
  await reach('main button[type=submit]');
  await lead.keyboard.press('Enter');
  const link = await lead.locator('#link').inputValue();

  const { page: sam } = await aPage(PHONE);
  await sam.goto(link.replace(/^https?:\/\/[^/]+/, desk.url));
  for (const field of ['#password', '#again']) await sam.locator(field).fill('a calm blue river');
  await sam.locator('main button[type=submit]').click();
  await sam.waitForURL(/\/desk$/);
  expect(await sam.locator('nav a').allTextContents()).not.toContain('People');
  await sam.locator('a[href="/desk/cases/DEMO-5"]').click();
  await sam.locator('#text').fill('Please bring the manual.');
  await sam.locator('#write button').click();
  await sam.waitForURL(/DEMO-5#thread$/);

  await lead.goto(`${desk.url}/desk/usage?what=message-sent`);
  expect(await lead.locator('tbody tr').allTextContents()).toHaveLength(1);
  expect(await lead.locator('tbody').textContent()).toMatch(/Sam Reed\s+message sent\s+DEMO-5/);
  await sam.goto(`${desk.url}/desk/people`);
  expect(await sam.locator('h1').textContent()).toBe('Your account may not do this');

  const [, person] = (await desk.store.people.list()).map(({ id }) => id);
  await lead.goto(`${desk.url}/desk/people/${person}`);
  await lead.locator('input[value=disable] ~ button').click();
  await sam.goto(`${desk.url}/desk`);
  expect(await sam.locator('h1').textContent()).toBe('Sign in');
});

it('what was being written when the session ran out is finished after signing in, without a script', async () => {
  const { desk, session } = await withDemo();
  const page = await withSession(desk, session, { ...PHONE, javaScriptEnabled: false });
  await page.goto(`${desk.url}/desk/cases/DEMO-5/thread`);
  await page.locator('#text').fill('Come at ten, please.');
  desk.clock.now = new Date(desk.clock.now.getTime() + 3 * 60 * 60 * 1000);
  await page.locator('#write button').click();
  await page.locator('#name').fill(NAME);
  await page.locator('#password').fill(PASSWORD);
  await page.locator('main button[type=submit]').click();
  expect(await page.locator('main').textContent()).toContain('Come at ten, please.');
  await page.getByRole('button', { name: 'Send it now' }).click();
  await page.waitForURL(/\/thread$/);
  expect(await page.locator('.thread-line.technician').textContent()).toContain('Come at ten, please.');
});

it('somebody signs in through the identity provider, from the page they wanted and back to it', async () => {
  const { createServer } = await import('node:net');
  // The provider has to know the way back before the desk stands: a free port is kept for it.
  const port = await new Promise<number>((resolve) => {
    const probe = createServer().listen(0, '127.0.0.1', () => {
      const { port: free } = probe.address() as { port: number };
      probe.close(() => resolve(free));
    });
  });
  const url = `http://127.0.0.1:${port}`;
  const provider = await openProvider(`${url}/desk/oidc/back`);
  onTestFinished(() => provider.stop());
  provider.person = { sub: 'u1', name: 'Sam', groups: ['seat-technicians'] };
  const desk = await openDesk({ publicUrl: url, provider: provider.settings, port });
  await seedDemo(desk.store, { clock: () => desk.clock.now });
  const { page } = await aPage(PHONE);
  const heard = complaints(page);
  await page.goto(`${url}/desk/cases/DEMO-5`);
  expect(await axeProblems(page)).toEqual([]);
  await page.getByRole('link', { name: 'Sign in through your organisation' }).click();
  await page.getByRole('button', { name: 'Continue' }).click();
  await page.waitForURL(/\/desk\/cases\/DEMO-5$/);
  expect(await page.locator('.who').textContent()).toContain('Sam');
  expect(heard).toEqual([]);
});
