import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { openBrowser, PHONE } from '../browser/browser.ts';
import { type RunningServer, startServer } from '../src/support/start-server.ts';

let nowMs = Date.parse('2026-05-16T12:00:00Z');
let browser: Browser;
let server: RunningServer;
beforeAll(async () => {
  [browser, server] = await Promise.all([
    openBrowser(),
    startServer({ clock: () => new Date(nowMs), config: { rateLimits: { perAddress: null, perConversation: 1 } } }),
  ]);
});
afterAll(async () => {
  await browser.close();
  await server.stop();
});

it('a message that is one too many is kept on the page, and sent by itself once it may be', async () => {
  const page = await (await browser.newContext({ ...PHONE, locale: 'en-US' })).newPage();
  await page.goto(`${server.url}/?lang=en`);
  const field = page.getByRole('textbox', { name: 'Your answer' });
  const write = async (text: string) => {
    await field.fill(text);
    await field.press('Enter');
  };
  const answered = (text: string) => page.getByText(`You wrote: ${text}`, { exact: true }).waitFor();
  await write('28 lb');
  await answered('28 lb');
  const refused = page.waitForResponse((answer) => answer.url().includes('/activities') && answer.status() === 429);
  await write('35 inches');
  await refused;
  await page.getByText('Not sent yet').waitFor();
  expect(server.conversations.handled.map(({ text }) => text)).toEqual(['28 lb']);
  nowMs += 60_000;
  await answered('35 inches');
  await page.getByText('Not sent yet').waitFor({ state: 'detached' });
  expect(server.conversations.handled.map(({ text }) => text)).toEqual(['28 lb', '35 inches']);
});
