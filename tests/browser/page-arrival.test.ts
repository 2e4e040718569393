import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { type ServiceProcess, startProcess } from '../src/support/start-process.ts';
import { complaints, DESKTOP, openBrowser, PHONE } from './browser.ts';
import { caregiverOnPage } from './caregiver-on-page.ts';
import { familyAnswer } from './page-answers.ts';

/** All of it: HTML, script, style, words; the page has no font of its own. */
const MAX_PAGE_BYTES = 60_000;

let browser: Browser;
let service: ServiceProcess;
let dataDir: string;
beforeAll(async () => {
  dataDir = mkdtempSync(join(tmpdir(), 'lapwing-arrival-'));
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

async function talkTo(page: Page, question: string) {
  const caregiver = caregiverOnPage(page);
  await page.goto(`${service.url}/?event=demo&lang=en`);
  await caregiver.begin();
  while (caregiver.reply().asking !== question) await caregiver.answer(familyAnswer(caregiver.reply()));
  return caregiver;
}

/** What is to be seen of a part of the page, without what is only for ears. */
const shown = (page: Page, part: string) =>
  page.locator(part).evaluate((element) => {
    const copy = element.cloneNode(true) as HTMLElement;
    for (const unseen of copy.querySelectorAll('.unseen')) unseen.remove();
    return copy.textContent ?? '';
  });

describe('the first question', () => {
  it('comes with the page: one round trip and at most 60 kB, before the conversation is open', async () => {
    const page = await (await browser.newContext(PHONE)).newPage();
    const asked: string[] = [];
    page.on('request', (request) => asked.push(new URL(request.url()).pathname));
    let open = () => {};
    const held = new Promise<void>((resolve) => {
      open = resolve;
    });
    await page.route('**/chat/start', async (route) => {
      await held;
      await route.continue();
    });
    const answered = page.waitForResponse((response) => new URL(response.url()).pathname === '/');
    await page.goto(`${service.url}/?event=demo&lang=en`);
    await page.getByRole('button', { name: 'Yes, go ahead' }).waitFor();
    expect(await page.getByRole('log').textContent()).toMatch(/May I ask you some questions/);
    expect(asked.filter((path) => path !== 'image/svg+xml,' && path.startsWith('/'))).toEqual(['/', '/chat/start']);
    const sizes = await (await answered).request().sizes();
    expect(sizes.responseBodySize).toBeGreaterThan(5000);
    expect(sizes.responseBodySize).toBeLessThanOrEqual(MAX_PAGE_BYTES);

    // An answer given meanwhile waits for the conversation, and goes into it.
    await page.getByRole('button', { name: 'Yes, go ahead' }).tap();
    await page.getByText('Sending…').waitFor();
    open();
    await page.getByText('How many children').first().waitFor();
    expect(await page.locator('.line').count()).toBe(3);
  });

  it('is in the thread once when the conversation is open, and said once to screen readers', async () => {
    const page = await (await browser.newContext(DESKTOP)).newPage();
    const caregiver = caregiverOnPage(page);
    await page.goto(`${service.url}/?event=demo&lang=en`);
    await caregiver.begin();
    expect(await page.locator('.line').count()).toBe(1);
    const live = page.locator('[aria-live="polite"]');
    await expect.poll(() => live.textContent()).toMatch(/May I ask/);
    await expect.poll(() => live.textContent(), { timeout: 10_000 }).toBe('');
  });

  it('is not shown to a family that comes back', async () => {
    const page = await (await browser.newContext(PHONE)).newPage();
    await talkTo(page, 'age');
    let open = () => {};
    const held = new Promise<void>((resolve) => {
      open = resolve;
    });
    await page.route('**/chat/start', async (route) => {
      await held;
      await route.continue();
    });
    await page.reload();
    await page.getByText('One moment').waitFor();
    expect(await page.locator('.line').count()).toBe(0);
    open();
    await page.locator('.line').nth(4).waitFor();
    expect(await page.locator('.bot').last().textContent()).toMatch(/How old/);
  });
});

describe('a private link', () => {
  it('goes on with the conversation on another device, and leaves no key in the address', async () => {
    const phone = await (await browser.newContext(PHONE)).newPage();
    await talkTo(phone, 'age');
    await phone.getByRole('button', { name: 'Menu' }).tap();
    const field = phone.getByRole('textbox', { name: 'Continue on another device' });
    const link = await field.inputValue();
    expect(link).toMatch(/\/\?event=demo#key=[\w.-]{40,}$/);

    const desktop = await (await browser.newContext(DESKTOP)).newPage();
    const heard = complaints(desktop);
    const sent: string[] = [];
    desktop.on('request', (request) => sent.push(request.url()));
    await desktop.goto(link);
    await desktop.locator('.line').nth(4).waitFor();
    expect(await desktop.locator('.bot').last().textContent()).toMatch(/How old/);
    expect(desktop.url()).toBe(`${service.url}/?event=demo`);
    const key = link.split('#key=')[1] as string;
    expect(sent.filter((url) => url.includes(key))).toEqual([]);
    await desktop.reload();
    await desktop.locator('.line').nth(4).waitFor();
    expect(heard).toEqual([]);
  });

  it('that opens nothing says so and begins anew', async () => {
    const page = await (await browser.newContext(PHONE)).newPage();
    await page.goto(`${service.url}/?event=demo&lang=en#key=nothing`);
    await page.getByText('That link does not work any more').waitFor();
    await page.getByRole('button', { name: 'Yes, go ahead' }).waitFor();
  });
});

describe('the review', () => {
  it('shows each line once, and a touch on one asks again', async () => {
    const page = await (await browser.newContext(PHONE)).newPage();
    const caregiver = await talkTo(page, 'review');
    const lines = caregiver.reply().choices.filter(({ text }) => caregiver.reply().say.includes(text));
    expect(lines.length).toBeGreaterThan(8);
    const visible = await shown(page, 'main');
    for (const { text } of lines) expect(visible.split(text).length - 1, text).toBe(1);
    const weight = lines.find(({ id }) => id.startsWith('weight'));
    await caregiver.answer({ choose: [weight?.id ?? ''] });
    expect(caregiver.reply().asking).toBe('weight');
    // Behind, it is read as text again.
    expect(await shown(page, '[role=log]')).toContain(weight?.text);
  });
});
