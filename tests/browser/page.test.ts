import { request } from 'node:http';
import { gunzipSync } from 'node:zlib';
import type { BrowserContextOptions, Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { type Answer, fakeConversations } from '../src/support/fake-conversations.ts';
import type { RunningServer, StartOptions } from '../src/support/start-server.ts';
import { axeProblems } from './axe.ts';
import { complaints, DESKTOP, openBrowser, PHONE } from './browser.ts';
import { shortConversation } from './page-script.ts';
import { servedPages } from './served.ts';

const MAX_PAGE_BYTES = 60_000;

const served = servedPages();
let server: RunningServer;

interface OpenOptions extends StartOptions {
  readonly answer?: Answer;
  readonly context?: BrowserContextOptions;
  readonly path?: string;
}

async function open({ answer = shortConversation, context = PHONE, path = '/?lang=en', ...start }: OpenOptions = {}) {
  server = await served.start({ conversations: fakeConversations(answer), ...start });
  const page = await (await served.browser.newContext(context)).newPage();
  const heard = complaints(page);
  await page.goto(server.url + path);
  return { page, heard };
}

const choice = (page: Page, name: string) => page.getByRole('button', { name });
const field = (page: Page) => page.getByRole('textbox', { name: 'Your answer' });
const log = (page: Page) => page.getByRole('log');
const said = (page: Page) => log(page).getByRole('listitem');

async function type(page: Page, text: string): Promise<void> {
  await field(page).fill(text);
  await field(page).press('Enter');
}

/** Waits until the thread has so many lines, none of them on its way. */
async function lines(page: Page, count: number): Promise<void> {
  await page.waitForFunction(
    (wanted) =>
      document.querySelectorAll('.line').length === wanted && document.querySelectorAll('.waiting').length === 0,
    count,
  );
}

describe('a conversation on a phone', () => {
  it('goes by touch, by typing and by ticking, and hands on the ids of what was chosen', async () => {
    const { page, heard } = await open();
    await choice(page, 'Yes, go on').tap();
    await lines(page, 3);
    await type(page, '31 lb');
    await page.getByLabel('The chest clip is low').tap();
    await page.getByLabel('A thick coat').tap();
    await choice(page, 'Send these').tap();
    await lines(page, 7);
    expect(server.conversations.handled.map(({ text, choiceIds }) => [text, choiceIds])).toEqual([
      ['Yes, go on', ['yes']],
      ['31 lb', undefined],
      ['The chest clip is low; A thick coat under the straps', ['clip-low', 'coat']],
    ]);
    await expect.poll(() => said(page).last().textContent()).toMatch(/K7QX/);
    expect(heard).toEqual([]);
  });

  it('sends an answer for a whole checklist by one touch', async () => {
    const { page } = await open();
    await choice(page, 'Yes, go on').tap();
    await lines(page, 3);
    await type(page, '31 lb');
    await choice(page, 'None of these').tap();
    await lines(page, 7);
    expect(server.conversations.handled.at(-1)?.choiceIds).toEqual(['none']);
  });

  it('sets a danger apart from the question after it', async () => {
    const { page } = await open();
    await choice(page, 'Yes, go on').tap();
    await lines(page, 3);
    await type(page, '31 lb');
    await lines(page, 5);
    const danger = page.locator('.danger');
    expect(await danger.textContent()).toMatch(/^Important before the next trip.*active air bag/);
    expect(await danger.textContent()).not.toMatch(/What do you see/);
    expect(await said(page).last().textContent()).toMatch(/What do you see on the child\?$/);
  });

  it('keeps what was heard, and a review behind it, out of the danger', async () => {
    const { page } = await open({
      answer: (message) =>
        message.text === ''
          ? { say: ['Where do you drive?'], asking: 'place' }
          : {
              say: [
                'Got it: Texas.',
                'The law asks for another way.',
                'Until the visit, take care.',
                'I have:',
                'Age: 2',
                'All right?',
              ],
              told: ['law-not-met'],
              asking: 'review',
              choices: [
                { id: 'yes', text: 'Yes' },
                { id: 'age:c1', text: 'Age: 2' },
              ],
            },
    });
    await lines(page, 1);
    await type(page, 'Texas');
    await choice(page, 'Age: 2').waitFor();
    expect(await page.locator('.danger p').allTextContents()).toEqual([
      'The law asks for another way.',
      'Until the visit, take care.',
    ]);
    expect(await page.locator('main').textContent()).toMatch(/Got it: Texas\..*I have:.*Age: 2.*All right\?Yes/);
    expect((await page.locator('main').textContent())?.split('Age: 2')).toHaveLength(2);
  });

  it('brings the last answer to the top, with what is said to it in view', async () => {
    const { page } = await open();
    await choice(page, 'Yes, go on').tap();
    await lines(page, 3);
    await type(page, '31 lb');
    await lines(page, 5);
    const own = await page.locator('.you').last().boundingBox();
    const bars = await page.locator('header').boundingBox();
    expect(own?.y).toBeGreaterThanOrEqual((bars?.y ?? 0) + (bars?.height ?? 0));
    expect(own?.y).toBeLessThan(200);
  });

  it('shows the cautions at every step', async () => {
    const { page } = await open();
    await choice(page, 'Yes, go on').tap();
    await lines(page, 3);
    await type(page, '31 lb');
    await lines(page, 5);
    await page.evaluate(() => document.querySelector('main')?.scrollTo(0, 100_000));
    const cautions = page.locator('.cautions');
    expect(await cautions.textContent()).toMatch(/manuals, the law.*emergency/i);
    const { y = -1 } = (await cautions.boundingBox()) ?? {};
    expect(y).toBeGreaterThan(0);
    expect(y).toBeLessThan(100);
  });

  it('says menu commands in the conversation', async () => {
    const { page } = await open();
    await choice(page, 'Yes, go on').waitFor();
    await choice(page, 'Menu').tap();
    await choice(page, 'Start over').tap();
    await lines(page, 3);
    expect(server.conversations.handled.map(({ text }) => text)).toEqual(['Start over']);
  });

  it('follows the language of the conversation, also from right to left', async () => {
    const { page } = await open({
      answer: (message) =>
        message.text === 'العربية' ? { language: 'ar', say: ['كم وزن الطفل؟'] } : { say: ['Hola'] },
      path: '/?lang=es',
    });
    await page.getByRole('button', { name: 'Enviar' }).waitFor();
    expect(await page.title()).toBe('Antes de la revisión de tu asiento infantil');
    await page.getByRole('textbox').fill('العربية');
    await page.getByRole('textbox').press('Enter');
    await page.waitForFunction(() => document.documentElement.dir === 'rtl');
    expect(await page.evaluate(() => document.documentElement.lang)).toBe('ar');
    const own = await page.locator('.you .said').boundingBox();
    expect(own?.x).toBeLessThan(40);
  });
});

describe('the keyboard', () => {
  it('reaches the choices after the thread, chooses, and goes on at the next ones', async () => {
    const { page } = await open({ context: DESKTOP });
    await choice(page, 'Yes, go on').focus();
    await page.keyboard.press('Enter');
    await lines(page, 3);
    expect(await page.evaluate(() => document.activeElement?.getAttribute('aria-label'))).toBe('Your answer');
    await page.keyboard.press('Tab');
    expect(await page.evaluate(() => document.activeElement?.textContent)).toBe("I don't know");
  });

  it('sends with Enter, breaks the line with Shift and Enter, and stays in the answer box', async () => {
    const { page } = await open({ context: DESKTOP });
    await choice(page, 'Yes, go on').waitFor();
    await field(page).focus();
    await page.keyboard.type('31');
    await page.keyboard.press('Shift+Enter');
    await page.keyboard.type('lb');
    await page.keyboard.press('Enter');
    await lines(page, 3);
    expect(server.conversations.handled[0]?.text).toBe('31\nlb');
    expect(await page.evaluate(() => document.activeElement?.id)).toBe('answer');
    await page.keyboard.press('Enter');
    await page.keyboard.type('  ');
    await page.keyboard.press('Enter');
    expect(await said(page).count()).toBe(3);
  });

  it('closes the menu with Escape and comes back to its button', async () => {
    const { page } = await open({ context: DESKTOP });
    await choice(page, 'Menu').press('Enter');
    await choice(page, 'Close').waitFor();
    await page.keyboard.press('Escape');
    await choice(page, 'Close').waitFor({ state: 'hidden' });
    expect(await page.evaluate(() => document.activeElement?.textContent)).toBe('Menu');
  });

  it('hears each new turn once in the one live region', async () => {
    const { page } = await open({ context: DESKTOP });
    await choice(page, 'Yes, go on').waitFor();
    expect(await page.locator('[aria-live]:not([aria-live="off"])').count()).toBe(1);
    const live = page.locator('[aria-live="polite"]');
    await expect.poll(() => live.textContent()).toMatch(/Is that all right/);
    await choice(page, 'Yes, go on').click();
    await expect.poll(() => live.textContent()).toBe("How heavy is your child?\nI don't know");
    await expect.poll(() => live.textContent(), { timeout: 10_000 }).toBe('');
  });
});

describe('axe-core at WCAG 2.2 AA', () => {
  it.each([
    ['a phone', PHONE],
    ['a phone in the dark', { ...PHONE, colorScheme: 'dark' as const }],
    ['a desktop', DESKTOP],
  ])('finds nothing on any step on %s', async (_where, context) => {
    const { page } = await open({ context });
    await choice(page, 'Yes, go on').waitFor();
    expect(await axeProblems(page)).toEqual([]);
    await choice(page, 'Yes, go on').click();
    await lines(page, 3);
    expect(await axeProblems(page)).toEqual([]);
    await type(page, '31 lb');
    await page.getByLabel('The chest clip is low').check();
    expect(await axeProblems(page)).toEqual([]);
    await choice(page, 'Send these').click();
    await choice(page, 'New conversation').waitFor();
    expect(await axeProblems(page)).toEqual([]);
    await choice(page, 'Menu').click();
    expect(await axeProblems(page)).toEqual([]);
  });

  it('finds nothing from right to left', async () => {
    const { page } = await open({
      answer: () => ({ language: 'ar', say: ['كم وزن الطفل؟'], choices: [{ id: 'unsure', text: 'لا أعرف' }] }),
    });
    await page.getByRole('button', { name: 'لا أعرف' }).waitFor();
    expect(await axeProblems(page)).toEqual([]);
  });

  it('would find a field that lost its label', async () => {
    const { page } = await open();
    await choice(page, 'Yes, go on').waitFor();
    await page.evaluate(() => {
      document.querySelector('label[for=answer]')?.remove();
      document.querySelector('textarea')?.removeAttribute('placeholder');
    });
    expect((await axeProblems(page)).join()).toMatch(/label/);
  });
});

describe('large text and small screens', () => {
  it.each([
    [320, 16],
    [360, 32],
    [1280, 32],
  ])('need no sideways scrolling at %d px where the reader has set text of %d px', async (width, textPx) => {
    const large = await openBrowser([`--blink-settings=defaultFontSize=${textPx}`]);
    server = await served.start({ conversations: fakeConversations(shortConversation) });
    const page = await (await large.newContext({ viewport: { width, height: 740 } })).newPage();
    await page.goto(`${server.url}/?lang=en`);
    await choice(page, 'Yes, go on').click();
    await lines(page, 3);
    await type(page, '31 lb');
    await page.getByLabel('The chest clip is low').click();
    const { scroll, client, text } = await page.evaluate(() => ({
      scroll: document.documentElement.scrollWidth,
      client: document.documentElement.clientWidth,
      text: Number.parseFloat(getComputedStyle(document.documentElement).fontSize),
    }));
    await choice(page, 'Send these').click();
    await lines(page, 7);
    await large.close();
    expect(text).toBe(textPx);
    expect(scroll).toBeLessThanOrEqual(client);
  });
});

describe('a poor connection', () => {
  it('keeps what was written while offline and sends it once when the connection is back', async () => {
    const { page } = await open();
    await choice(page, 'Yes, go on').waitFor();
    await page.context().setOffline(true);
    await type(page, '31 lb');
    await page.getByText('Not sent yet').waitFor();
    expect(server.conversations.handled).toHaveLength(0);
    await page.context().setOffline(false);
    await lines(page, 3);
    expect(server.conversations.handled).toHaveLength(1);
    expect(await page.getByText('Not sent yet').count()).toBe(0);
  });

  it('sends again by hand, and a message whose answer was lost is not doubled', async () => {
    const { page } = await open();
    await choice(page, 'Yes, go on').waitFor();
    let lost = 0;
    await page.route('**/activities?*', async (route) => {
      if (route.request().method() !== 'POST' || lost === 2) return route.continue();
      lost += 1;
      await route.fetch();
      await route.abort();
    });
    await type(page, '31 lb');
    await choice(page, 'Send again').tap();
    await lines(page, 3);
    expect(lost).toBeGreaterThan(0);
    expect(server.conversations.handled).toHaveLength(1);
  });

  it('sends after a reload what was not sent before it', async () => {
    const { page } = await open();
    await choice(page, 'Yes, go on').waitFor();
    await page.route('**/activities?*', (route) => route.abort());
    await type(page, '31 lb');
    await page.getByText('Not sent yet').waitFor();
    await page.unroute('**/activities?*');
    await page.reload();
    await lines(page, 3);
    expect(server.conversations.handled.map(({ text }) => text)).toEqual(['31 lb']);
  });

  it('keeps the order of what was written while the first was on its way', async () => {
    const { page } = await open();
    await choice(page, 'Yes, go on').waitFor();
    let release = () => {};
    const held = new Promise<void>((resolve) => {
      release = resolve;
    });
    await page.route('**/activities?*', async (route) => {
      await held;
      await route.continue();
    });
    await type(page, 'one');
    await type(page, 'two');
    await page.getByText('Sending…').waitFor();
    expect(await page.locator('.choices').count()).toBe(0);
    release();
    await lines(page, 5);
    expect(server.conversations.handled.map(({ text }) => text)).toEqual(['one', 'two']);
  });

  it('says that it is trying when the service cannot be reached at the start, and begins when it can', async () => {
    server = await served.start({ conversations: fakeConversations(shortConversation) });
    const page = await (await served.browser.newContext(PHONE)).newPage();
    let broken = true;
    await page.route('**/chat/start', (route) => (broken ? route.abort() : route.continue()));
    await page.goto(`${server.url}/?lang=en`);
    await log(page).getByText('No connection').waitFor();
    broken = false;
    await choice(page, 'Send again').tap();
    await choice(page, 'Yes, go on').waitFor();
  });
});

describe('coming back', () => {
  it('shows the whole thread after a reload and goes on', async () => {
    const { page } = await open();
    await choice(page, 'Yes, go on').tap();
    await lines(page, 3);
    await page.reload();
    await lines(page, 3);
    expect(await said(page).allTextContents()).toEqual([
      expect.stringMatching(/^Lapwing.*Is that all right\?$/),
      'YouYes, go onSent',
      'LapwingHow heavy is your child?',
    ]);
    await type(page, '31 lb');
    await lines(page, 5);
    expect(server.conversations.handled).toHaveLength(2);
  });

  it('goes on when the token has run out meanwhile', async () => {
    let now = Date.UTC(2026, 4, 16);
    const { page } = await open({ clock: () => new Date(now) });
    await choice(page, 'Yes, go on').tap();
    await lines(page, 3);
    now += 31 * 60_000;
    await type(page, '31 lb');
    await lines(page, 5);
    expect(server.conversations.handled).toHaveLength(2);
    expect(new Set(server.conversations.handled.map(({ conversationId }) => conversationId)).size).toBe(1);
  });

  it('keeps a conversation for each event', async () => {
    const { page } = await open({ path: '/?lang=en&event=spring' });
    await choice(page, 'Yes, go on').tap();
    await lines(page, 3);
    await page.goto(`${server.url}/?lang=en&event=autumn`);
    await lines(page, 1);
    await page.goto(`${server.url}/?lang=en&event=spring`);
    await lines(page, 3);
  });

  it('begins anew when the service no longer knows the conversation', async () => {
    const { page } = await open();
    await choice(page, 'Yes, go on').tap();
    await lines(page, 3);
    await page.evaluate(() => localStorage.setItem('lapwing:', '{"key":"not-a-key","waiting":[]}'));
    await page.reload();
    await lines(page, 1);
  });

  it('forgets the conversation on the device when all is deleted', async () => {
    const { page } = await open({
      answer: (message) => ({ say: [message.text || 'Hello'], done: message.text !== '' }),
    });
    await lines(page, 1);
    await type(page, 'delete everything');
    await choice(page, 'New conversation').waitFor();
    expect(await page.evaluate(() => localStorage.length)).toBe(0);
    await page.reload();
    await lines(page, 1);
  });

  it('leaves a finished conversation for a new one on the same device', async () => {
    const { page } = await open({
      answer: (message) => ({ say: [message.text || 'Hello'], done: message.text !== '' }),
    });
    await lines(page, 1);
    await type(page, 'bye');
    await choice(page, 'New conversation').tap();
    await lines(page, 1);
    await type(page, 'again');
    await lines(page, 3);
    const [first, second] = server.conversations.handled;
    expect(second?.conversationId).not.toBe(first?.conversationId);
  });

  it('hears from a technician who writes meanwhile', async () => {
    const { page } = await open({ answer: () => ({ say: ['A person will write to you.'], asking: null, done: true }) });
    await lines(page, 1);
    await type(page, 'person');
    await lines(page, 3);
    server.conversations.technicianWrites(server.conversations.handled[0]?.conversationId ?? '', 'Bring the base too.');
    await page.getByText('Bring the base too.').first().waitFor();
    expect(await said(page).last().textContent()).toBe('TechnicianBring the base too.');
  });
});

describe('what the page is made of', () => {
  const raw = (url: string, encoding: string) =>
    new Promise<{ bytes: Buffer; etag: string | undefined; encoding: string | undefined }>((resolve) => {
      request(url, { headers: { 'Accept-Encoding': encoding } }, (answer) => {
        const chunks: Buffer[] = [];
        answer.on('data', (chunk: Buffer) => chunks.push(chunk));
        answer.on('end', () =>
          resolve({
            bytes: Buffer.concat(chunks),
            etag: answer.headers.etag,
            encoding: answer.headers['content-encoding'],
          }),
        );
      }).end();
    });

  it('is at most 60 kB compressed, in one answer, with no request to anyone else', async () => {
    server = await served.start({ conversations: fakeConversations(shortConversation) });
    const page = await (await served.browser.newContext(PHONE)).newPage();
    const asked: string[] = [];
    page.on('request', (sent) => asked.push(`${sent.method()} ${sent.url().replace(server.url, '')}`));
    await page.goto(`${server.url}/?lang=en`);
    await choice(page, 'Yes, go on').waitFor();
    expect(asked.filter((line) => !line.includes(' data:'))).toEqual(['GET /?lang=en', 'POST /chat/start']);
    const gzip = await raw(`${server.url}/`, 'gzip');
    expect(gzip.encoding).toBe('gzip');
    expect(gunzipSync(gzip.bytes).toString()).toMatch(/^<!doctype html>/);
    expect(gzip.bytes.length).toBeLessThanOrEqual(MAX_PAGE_BYTES);
    expect((await raw(`${server.url}/`, 'br')).bytes.length).toBeLessThanOrEqual(MAX_PAGE_BYTES);
  });

  it('is asked for again without being sent again', async () => {
    server = await served.start();
    const { etag } = await raw(`${server.url}/`, 'gzip');
    const again = await fetch(`${server.url}/`, { headers: { 'If-None-Match': etag ?? '' } });
    expect(again.status).toBe(304);
    expect(await again.text()).toBe('');
  });

  it('says what to do where scripts are off, in the language of the reader', async () => {
    server = await served.start();
    const context = await served.browser.newContext({ ...PHONE, javaScriptEnabled: false, locale: 'es-MX' });
    const page = await context.newPage();
    await page.goto(server.url);
    const message = page.locator('noscript p');
    expect(await message.isVisible()).toBe(true);
    expect(await message.textContent()).toMatch(/^Esta página necesita JavaScript/);
  });

  it('shows words as words, whatever they hold', async () => {
    const { page, heard } = await open({ answer: (message) => ({ say: [message.text || '<b>Hello</b> </script>'] }) });
    await lines(page, 1);
    await type(page, "<img src=x onerror=alert(1)> &amp; O'Neil");
    await lines(page, 3);
    expect(await said(page).allTextContents()).toEqual([
      'Lapwing<b>Hello</b> </script>',
      "You<img src=x onerror=alert(1)> &amp; O'NeilSent",
      "Lapwing<img src=x onerror=alert(1)> &amp; O'Neil",
    ]);
    expect(await page.locator('img').count()).toBe(0);
    expect(heard).toEqual([]);
  });
});
