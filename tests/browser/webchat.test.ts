// The published bundle of botframework-webchat 4.18.1, a stock client of Direct Line 3.0, on a page of another origin.
import { readFileSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { RenderedReply } from '#src/turns/rendered-reply.ts';
import { type ServiceProcess, startProcess } from '../src/support/start-process.ts';
import { complaints, DESKTOP, openBrowser } from './browser.ts';

const BUNDLE = readFileSync(
  new URL('../../node_modules/botframework-webchat/dist/webchat-minimal.js', import.meta.url),
);
const PAGE = `<!doctype html><html lang="en"><title>Somebody's site</title><link rel="icon" href="data:,">
<style>html, body, #chat { height: 100%; margin: 0 }</style><div id="chat"></div><script src="/webchat.js"></script></html>`;

let dataDir: string;
let service: ServiceProcess;
let site: Server;
let browser: Browser;
const start = (port = '0') => startProcess(dataDir, { LAPWING_DEMO: 'off', LAPWING_PORT: port });

beforeAll(async () => {
  dataDir = await mkdtemp(join(tmpdir(), 'lapwing-webchat-'));
  site = createServer((req, res) => {
    const script = req.url === '/webchat.js';
    res.setHeader('Content-Type', script ? 'text/javascript; charset=utf-8' : 'text/html; charset=utf-8');
    res.end(script ? BUNDLE : PAGE);
  }).listen(0, '127.0.0.1');
  [browser, service] = await Promise.all([openBrowser(), start()]);
});
afterAll(async () => {
  await browser.close();
  site.close();
  await service.end('SIGKILL');
  await rm(dataDir, { recursive: true });
});

interface Activity {
  readonly id: string;
  readonly text?: string;
  readonly from: { readonly role: string };
  readonly attachments?: readonly { readonly contentType: string }[];
  readonly channelData?: { readonly lapwing?: RenderedReply & { readonly from: string } };
}

interface StockChat {
  readonly page: Page;
  readonly seen: readonly Activity[];
  /** Waits until the bot has replied so often in all; gives the latest reply. */
  reply(count: number): Promise<RenderedReply>;
  write(text: string): Promise<void>;
  touch(text: string): Promise<void>;
}

/** Opens the stock client as its documentation shows it: a token from the server, `domain` set to ours. */
async function openStockChat(webSocket: boolean, locale: string): Promise<StockChat> {
  const page = await (await browser.newContext({ ...DESKTOP, locale })).newPage();
  await page.clock.install();
  const seen: Activity[] = [];
  let wake = () => {};
  await page.exposeFunction('heard', (activity: Activity) => {
    if (!seen.some(({ id }) => id === activity.id)) seen.push(activity);
    wake();
  });
  await page.goto(`http://127.0.0.1:${(site.address() as AddressInfo).port}/`);
  const made = await fetch(`${service.url}/v3/directline/tokens/generate`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify({ user: { id: 'dl_caregiver' } }),
  });
  const { token } = (await made.json()) as { token: string };
  await page.evaluate(
    ({ domain, token, webSocket }) => {
      type Action = { type: string; payload: { activity: unknown } };
      const { WebChat, heard } = window as unknown as {
        WebChat: {
          createDirectLine(options: object): unknown;
          createStore(state: object, middleware: unknown): unknown;
          renderWebChat(options: object, element: Element | null): void;
        };
        heard(activity: unknown): void;
      };
      const store = WebChat.createStore({}, () => (next: (action: Action) => unknown) => (action: Action) => {
        if (action.type === 'DIRECT_LINE/INCOMING_ACTIVITY') heard(action.payload.activity);
        return next(action);
      });
      WebChat.renderWebChat(
        {
          directLine: WebChat.createDirectLine({ domain, token, webSocket, pollingInterval: 200 }),
          store,
          locale: 'en-US',
          styleOptions: { suggestedActionLayout: 'stacked', sendAttachmentOn: 'attach' },
        },
        document.querySelector('#chat'),
      );
    },
    { domain: `${service.url}/v3/directline`, token, webSocket },
  );
  const replies = () =>
    seen.flatMap(({ channelData }) => (channelData?.lapwing?.from === 'bot' ? channelData.lapwing : []));
  return {
    page,
    seen,
    async reply(count) {
      while (replies().length < count) {
        await new Promise<void>((resolve) => {
          wake = resolve;
        });
      }
      return replies().at(-1) as RenderedReply;
    },
    async write(text) {
      await page.getByRole('textbox').fill(text);
      await page.getByRole('textbox').press('Enter');
    },
    touch: (text) =>
      page.getByRole('toolbar', { name: 'Suggested actions' }).getByRole('button', { name: text, exact: true }).click(),
  };
}

/** A preschooler in a forward-facing harness; what is not here is answered by the first choice that says least. */
const WORDS: Readonly<Record<string, string>> = {
  age: '3 years and 4 months',
  weight: '33 lb',
  height: '38 inches',
  'label-limits': '20-65 lb, up to 49 inches',
  'seat-dates': 'made in May 2024, good for 8 years',
  'install-check': '1',
  vehicle: 'a 2019 minivan',
  place: 'Oregon',
};
const TOUCHED: Readonly<Record<string, string>> = {
  'child-count': '1',
  'riding-mode': 'forward-facing',
  'seat-kind': 'convertible',
};

describe('the stock web client', () => {
  it('holds a whole conversation with its drawings in the language of the browser over its WebSocket, through a restart and the refreshing of its token', async () => {
    const chat = await openStockChat(true, 'en-US');
    const { page } = chat;
    const heard = complaints(page);
    let reply = await chat.reply(1);
    const asked: string[] = [];
    let touches = 0;
    while (!reply.done && asked.length < 40) {
      const { asking, choices } = reply;
      asked.push(String(asking));
      const words = WORDS[String(asking)];
      if (words && !asked.slice(0, -1).includes(String(asking))) await chat.write(words);
      else {
        const least =
          choices.find(({ id }) => id === TOUCHED[String(asking)]) ??
          choices.find(({ id }) => id === 'none' || id === 'yes');
        await chat.touch((least ?? choices.find(({ id }) => id === 'unsure') ?? choices[0])?.text ?? '');
        touches += 1;
      }
      reply = await chat.reply(asked.length + 1);
      if (asked.length === 4) {
        const refreshed = page.waitForResponse((answer) => answer.url().endsWith('/tokens/refresh'));
        await page.clock.fastForward('16:00');
        expect((await refreshed).status()).toBe(200);
        const { port } = new URL(service.url);
        await service.end('SIGTERM');
        service = await start(port);
        const taken = page.waitForResponse((answer) => /\/conversations\/[\w-]+\?watermark=\d+$/.test(answer.url()));
        await page.clock.fastForward(16_000);
        expect((await taken).status()).toBe(200);
      }
    }
    expect(reply).toMatchObject({ done: true, language: 'en' });
    expect(touches).toBeGreaterThan(5);
    expect(asked).toEqual(expect.arrayContaining([...Object.keys(TOUCHED), 'age', 'weight', 'height', 'review']));
    const bot = chat.seen.filter(({ from }) => from.role === 'bot');
    expect(bot).toHaveLength(asked.length + 1);
    const drawings = chat.seen
      .flatMap(({ attachments = [] }) => attachments)
      .filter(({ contentType }) => contentType === 'image/svg+xml');
    expect(drawings.length).toBeGreaterThan(2);
    await page.waitForFunction(
      (count) => [...document.querySelectorAll('img')].filter((image) => image.naturalWidth > 0).length >= count,
      drawings.length,
    );
    const lastWords = reply.say.at(-1)?.slice(0, 30) ?? '';
    expect(await page.getByRole('feed').textContent()).toContain(lastWords);
    expect(await page.getByText('Send failed').count()).toBe(0);
    expect(heard.filter((line) => !/ERR_CONNECTION_REFUSED|WebSocket connection/.test(line))).toEqual([]);
  }, 60_000);

  it('talks by polling, and hears politely of a file that is no photo, while the question stands', async () => {
    const chat = await openStockChat(false, 'es-MX');
    const { page } = chat;
    const consent = await chat.reply(1);
    await chat.touch(consent.choices.find(({ id }) => id === 'yes')?.text ?? '');
    expect((await chat.reply(2)).asking).toBe('child-count');
    const picture = Buffer.from('<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"/>');
    await page
      .locator('input[type=file]')
      .setInputFiles({ name: 'label.svg', mimeType: 'image/svg+xml', buffer: picture });
    await page.getByText('No pude abrir ese archivo como foto').first().waitFor();
    expect((await chat.reply(3)).asking).toBe('child-count');
    await chat.write('1');
    expect((await chat.reply(4)).asking).toBe('age');
    expect(chat.seen.filter(({ from }) => from.role === 'user').map(({ text }) => text)).toContain('label.svg');
    expect(await page.getByText('Send failed').count()).toBe(0);
  }, 30_000);
});
