// Direct Line API 3.0, "Receive activities" and "Reconnect": the stream address is pre-authorised, must be used
// within 60 seconds, replays from the watermark, and empty messages of the client are ignored.
import { once } from 'node:events';
import { afterEach, expect, it } from 'vitest';
import { WebSocket } from 'ws';
import { type RunningServer, startServer } from '../../support/start-server.ts';

let server: RunningServer;
afterEach(() => server.stop());

type Opened = { conversationId: string; token: string; streamUrl: string };

const open = async () =>
  (await (await fetch(`${server.url}/v3/directline/conversations`, { method: 'POST' })).json()) as Opened;

const next = async (socket: WebSocket) => {
  const [data] = await once(socket, 'message');
  return JSON.parse(String(data)) as { activities: { text: string }[]; watermark: string };
};

const send = (opened: Opened, text: string) =>
  fetch(`${server.url}/v3/directline/conversations/${opened.conversationId}/activities`, {
    method: 'POST',
    headers: { Authorization: `Bearer ${opened.token}`, 'Content-Type': 'application/json' },
    body: JSON.stringify({ type: 'message', from: { id: 'u' }, text }),
  });

const refusal = async (url: string) => {
  const socket = new WebSocket(url);
  socket.on('error', () => {});
  const [, response] = await once(socket, 'unexpected-response');
  return response.statusCode as number;
};

it('gives the greeting, then each turn as one set with its watermark', async () => {
  server = await startServer();
  const opened = await open();
  const socket = new WebSocket(opened.streamUrl);
  expect((await next(socket)).activities.map(({ text }) => text)).toEqual(['Hello.\n\nHow heavy is the child?']);
  socket.send('');
  const coming = next(socket);
  await send(opened, '14 kg');
  const set = await coming;
  expect(set.activities).toHaveLength(2);
  expect(set.watermark).toBe('3');
  socket.terminate();
});

it('begins after the watermark when taken up again', async () => {
  server = await startServer();
  const opened = await open();
  await send(opened, 'one');
  const again = await fetch(`${server.url}/v3/directline/conversations/${opened.conversationId}?watermark=2`, {
    headers: { Authorization: `Bearer ${opened.token}` },
  });
  const socket = new WebSocket(((await again.json()) as Opened).streamUrl);
  const set = await next(socket);
  expect(set.activities.map(({ text }) => text)).toEqual(['You wrote: one\n\nWhat else?']);
  socket.terminate();
});

it('refuses an address a minute old, a foreign one and a made-up one', async () => {
  let now = Date.UTC(2026, 4, 16);
  server = await startServer({ clock: () => new Date(now) });
  const [mine, other] = [await open(), await open()];
  const mixed = mine.streamUrl.replace(mine.conversationId, other.conversationId);
  expect(await refusal(mixed)).toBe(403);
  expect(await refusal(mine.streamUrl.replace(/t=[^&]+/, 't=nothing'))).toBe(403);
  expect(await refusal(`${server.url.replace('http', 'ws')}/somewhere`)).toBe(404);
  now += 60_000;
  expect(await refusal(mine.streamUrl)).toBe(403);
});

it('closes its sockets when the server stops', async () => {
  server = await startServer();
  const socket = new WebSocket((await open()).streamUrl);
  await next(socket);
  const closed = once(socket, 'close');
  await server.stop();
  expect((await closed)[0]).toBe(1001);
});
