// The activities are those of the Bot Framework Activity schema and its REST reference
// (learn.microsoft.com/azure/bot-service/rest-api/bot-framework-rest-connector-api-reference).
import { createServer, request } from 'node:http';
import type { AddressInfo } from 'node:net';
import { networkInterfaces } from 'node:os';
import { afterEach, describe, expect, it } from 'vitest';
import { isLoopbackAddress, isLoopbackUrl } from '#src/channels/bot-framework/loopback.ts';
import { StoreUnavailableError } from '#src/store/store-error.ts';
import { fakeConversations } from '../../support/fake-conversations.ts';
import { type RunningServer, startServer } from '../../support/start-server.ts';

let server: RunningServer;
afterEach(() => server.stop());

interface Answer {
  readonly activities?: {
    text: string;
    suggestedActions?: { actions: { value: string }[] };
    channelData?: { lapwing: object };
  }[];
  readonly error?: { code: string; message: string };
}

const activity = (extra: object = {}) => ({
  type: 'message',
  id: 'a1',
  channelId: 'emulator',
  serviceUrl: 'http://localhost:1',
  deliveryMode: 'expectReplies',
  conversation: { id: 'conv 1' },
  from: { id: 'u1' },
  recipient: { id: 'bot' },
  text: '14 kg',
  locale: 'en-US',
  ...extra,
});

async function post(body: unknown, headers: Record<string, string> = {}) {
  const response = await fetch(`${server.url}/api/messages`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json', ...headers },
    body: typeof body === 'string' ? body : JSON.stringify(body),
  });
  const requestId = response.headers.get('x-request-id');
  return { status: response.status, requestId, body: (await response.json()) as Answer };
}

const joined = activity({
  type: 'conversationUpdate',
  id: 'j1',
  text: undefined,
  membersAdded: [{ id: 'u1' }, { id: 'bot' }],
});

describe('a conversation with replies in the answer', () => {
  it('greets who joins, and answers what is written', async () => {
    server = await startServer();
    const greeting = await post(joined);
    expect(greeting.status).toBe(200);
    expect(greeting.body.activities?.map(({ text }) => text)).toEqual(['Hello.\n\nHow heavy is the child?']);
    const answer = await post(activity());
    expect(answer.body.activities?.map(({ text }) => text)).toEqual(['You wrote: 14 kg\n\nWhat else?']);
    expect(server.conversations.handled[0]).toMatchObject({
      channel: 'bot-framework',
      text: '14 kg',
      language: 'en-US',
    });
  });

  it('greets first where the channel does not say who joins', async () => {
    server = await startServer();
    const { body } = await post(activity());
    expect(body.activities?.map(({ text }) => text)).toEqual([
      'Hello.\n\nHow heavy is the child?',
      'You wrote: 14 kg\n\nWhat else?',
    ]);
  });

  it('does not greet the bot itself', async () => {
    server = await startServer();
    const { body } = await post({ ...joined, membersAdded: [{ id: 'bot' }] });
    expect(body.activities ?? []).toEqual([]);
  });

  it('answers a repeated delivery with the same words and does it once', async () => {
    server = await startServer();
    await post(joined);
    const [first, second] = [await post(activity()), await post(activity())];
    expect(second.body.activities?.[0]?.text).toBe(first.body.activities?.[0]?.text);
    expect(server.conversations.handled).toHaveLength(1);
  });

  it('keeps conversations of different channels apart', async () => {
    server = await startServer();
    await post(joined);
    await post(activity());
    await post(activity({ channelId: 'msteams' }));
    const ids = server.conversations.handled.map(({ conversationId }) => conversationId);
    expect(new Set(ids).size).toBe(2);
  });

  it('offers choices as suggested actions, and numbers them where several may be chosen', async () => {
    const choices = [
      { id: 'coat', text: 'Coat' },
      { id: 'none', text: 'None' },
    ];
    server = await startServer({
      conversations: fakeConversations(() => ({ say: ['What do you see?'], choices, many: true })),
    });
    const [reply] = (await post(joined)).body.activities ?? [];
    expect(reply?.text).toBe('What do you see?\n\n1. Coat\n2. None');
    expect(reply?.suggestedActions?.actions.map(({ value }) => value)).toEqual(['Coat', 'None']);
    expect(reply?.channelData?.lapwing).toMatchObject({ choices, many: true });
  });

  it('hands on ticked choices', async () => {
    server = await startServer();
    await post(joined);
    await post(activity({ text: 'Coat', value: { choiceIds: ['coat'] } }));
    expect(server.conversations.handled[0]?.choiceIds).toEqual(['coat']);
  });

  it('says that pictures cannot be read yet, and answers the words beside them', async () => {
    server = await startServer();
    await post(joined);
    const photo = { contentType: 'image/jpeg', contentUrl: 'http://localhost:1/x.jpg' };
    const { body } = await post(activity({ attachments: [photo] }));
    expect(body.activities?.map(({ text }) => text)).toEqual([
      expect.stringMatching(/cannot read pictures/),
      'You wrote: 14 kg\n\nWhat else?',
    ]);
    const alone = await post(activity({ id: 'a2', text: '', attachments: [photo] }));
    expect(alone.body.activities).toHaveLength(1);
  });

  it('fetches pictures from the addresses that are set, and has them read in a turn of their own', async () => {
    const there = createServer((_req, res) => res.end('a picture'));
    await new Promise<void>((resolve) => there.listen(0, '127.0.0.1', () => resolve()));
    const origin = `http://127.0.0.1:${(there.address() as AddressInfo).port}`;
    const photo = { reading: { kind: 'problem', problem: 'unreadable' }, pictures: [] } as const;
    const readPhoto = async (files: readonly Buffer[]) => {
      expect(files.map(String)).toEqual(['a picture']);
      return photo;
    };
    server = await startServer({ config: { mediaOrigins: [origin] }, readPhoto });
    await post(joined);
    const attachments = [{ contentType: 'image/jpeg', contentUrl: `${origin}/x.jpg` }];
    const { body } = await post(activity({ attachments }));
    there.close();
    expect(body.activities?.map(({ text }) => text)).toEqual([
      expect.stringMatching(/^You wrote: 📎/),
      expect.stringMatching(/^You wrote: 14 kg/),
    ]);
    expect(server.conversations.handled.map((one) => one.photo)).toEqual([photo, undefined]);
  });

  it('says so when a message is too long', async () => {
    server = await startServer();
    await post(joined);
    const { body } = await post(activity({ text: 'x'.repeat(10_001) }));
    expect(body.activities?.map(({ text }) => text)).toEqual([expect.stringMatching(/too long/)]);
    expect(server.conversations.handled).toHaveLength(0);
  });

  it('takes typing and unknown events without a word', async () => {
    server = await startServer();
    expect((await post(activity({ type: 'typing' }))).status).toBe(200);
    expect((await post(activity({ type: 'event', name: 'x' }))).status).toBe(200);
    expect(server.conversations.handled).toHaveLength(0);
  });
});

describe('a conversation with replies sent to the service address', () => {
  it('posts them there as replies to the activity', async () => {
    server = await startServer();
    const heard: { path: string; text: string }[] = [];
    const service = createServer((req, res) => {
      const chunks: Buffer[] = [];
      req.on('data', (chunk: Buffer) => chunks.push(chunk));
      req.on('end', () => {
        heard.push({ path: req.url ?? '', text: JSON.parse(Buffer.concat(chunks).toString()).text });
        res.setHeader('Content-Type', 'application/json');
        res.end('{"id":"r1"}');
      });
    });
    await new Promise<void>((resolve) => service.listen(0, '127.0.0.1', () => resolve()));
    const serviceUrl = `http://127.0.0.1:${(service.address() as AddressInfo).port}`;
    const { status } = await post({ ...joined, deliveryMode: 'normal', serviceUrl });
    service.closeAllConnections();
    service.close();
    expect(status).toBe(200);
    expect(heard).toEqual([
      { path: '/v3/conversations/conv%201/activities/j1', text: 'Hello.\n\nHow heavy is the child?' },
    ]);
  });
});

describe('without an app id', () => {
  it.each([
    'https://smba.example.com/',
    'http://localhost.example.com',
    'http://10.0.0.1',
    'http://127.0.0.1.example.com',
  ])('sends nothing to %s', async (serviceUrl) => {
    server = await startServer();
    const { status, body } = await post(activity({ serviceUrl }));
    expect(status).toBe(403);
    expect(body.error?.message).toMatch(/LAPWING_APP_ID.*this machine/);
    expect(server.conversations.handled).toHaveLength(0);
  });

  it('refuses what a proxy passed on, and a page in a browser that uses another name for this machine', async () => {
    server = await startServer();
    expect((await post(activity(), { 'X-Forwarded-For': '203.0.113.5' })).status).toBe(403);
    const named = await new Promise<number | undefined>((resolve) => {
      const asked = request(
        `${server.url}/api/messages`,
        { method: 'POST', headers: { Host: 'evil.example' } },
        (answer) => {
          answer.resume();
          resolve(answer.statusCode);
        },
      );
      asked.end(JSON.stringify(activity()));
    });
    expect(named).toBe(403);
  });

  it('knows this machine when it sees it', () => {
    const outside = Object.values(networkInterfaces()).flatMap((list = []) => list.filter(({ internal }) => !internal));
    for (const { address } of outside) expect(isLoopbackAddress(address)).toBe(false);
    for (const address of ['127.0.0.1', '127.8.8.8', '::1', '::ffff:127.0.0.1'])
      expect(isLoopbackAddress(address)).toBe(true);
    for (const address of ['', '0.0.0.0', '::', '10.0.0.1', '::ffff:10.0.0.1', '128.0.0.1', 'localhost']) {
      expect(isLoopbackAddress(address)).toBe(false);
    }
    for (const url of ['http://localhost:3979', 'https://127.1/', 'http://[::1]:80/x'])
      expect(isLoopbackUrl(url)).toBe(true);
    for (const url of ['ftp://localhost', 'localhost', 'http://0.0.0.0', 'http://localhost@evil.example', '']) {
      expect(isLoopbackUrl(url)).toBe(false);
    }
  });
});

describe('with an app id', () => {
  const app = {
    appId: '11111111-1111-1111-1111-111111111111',
    appPassword: 'p',
    tenantId: '22222222-2222-2222-2222-222222222222',
  };

  it.each([
    ['no token', {}],
    ['a made-up token', { Authorization: 'Bearer made.up.token' }],
    ['another scheme', { Authorization: 'Basic abc' }],
  ])('refuses %s with 401 and says nothing of the reason', async (_what, headers) => {
    server = await startServer({ config: { app } });
    const { status, body } = await post(activity(), headers as Record<string, string>);
    expect(status).toBe(401);
    expect(body).toEqual({
      error: { code: 'Unauthorized', message: 'The token of the request is missing or not valid.' },
    });
    expect(server.conversations.handled).toHaveLength(0);
  });
});

describe('bad input', () => {
  it.each([
    ['no body', '', /activity/],
    ['what is not JSON', '{"type"', /JSON/],
    ['a list', '[]', /activity/],
    ['no conversation', activity({ conversation: undefined }), /conversation/],
    ['a conversation without an id', activity({ conversation: {} }), /conversation\.id/],
    ['no channel', activity({ channelId: undefined }), /channelId/],
    ['no type', activity({ type: undefined }), /type/],
    ['text that is a number', activity({ text: 5 }), /text/],
    ['a service address that is none', activity({ serviceUrl: 'nowhere' }), /serviceUrl/],
    ['nowhere to send replies to', activity({ serviceUrl: undefined, deliveryMode: 'normal' }), /serviceUrl/],
  ])('refuses %s with 400 and names it', async (_what, body, said) => {
    server = await startServer();
    const answer = await post(body);
    expect(answer.status).toBe(400);
    expect(answer.body.error?.message).toMatch(said);
    expect(server.conversations.handled).toHaveLength(0);
  });

  it('refuses more than 64 kB', async () => {
    server = await startServer();
    expect((await post(activity({ text: 'x'.repeat(70_000) }))).status).toBe(413);
  });

  it('apologises plainly when a turn fails; the reason stays in the log, without its message', async () => {
    const conversations = fakeConversations((message) => {
      if (message.text === '') return { say: ['Hello'] };
      throw new Error('password=hunter2');
    });
    server = await startServer({ conversations });
    await post(joined);
    const answer = await post(activity());
    expect(answer.status).toBe(200);
    expect(answer.body.activities?.map(({ text }) => text)).toEqual([
      expect.stringMatching(/^Something went wrong here/),
    ]);
    expect(JSON.stringify(answer.body)).not.toMatch(/hunter2|\.ts/);
    const failed = server.logLines.find((line) => line.includes('bot turn failed')) ?? '{}';
    expect(JSON.parse(failed)).toMatchObject({ requestId: answer.requestId });
    expect(server.logLines.join('')).not.toContain('hunter2');
  });

  it('is told with 503 to send it again when the database does not answer, and nobody hears an apology', async () => {
    let away = true;
    const conversations = fakeConversations((incoming) => {
      if (away && incoming.text !== '') throw new StoreUnavailableError(new Error('ECONNREFUSED db.internal'));
      return { say: ['ok'] };
    });
    server = await startServer({ conversations });
    await post(joined);
    const { status, body } = await post(activity());
    expect(status).toBe(503);
    expect(body).toEqual({
      error: { code: 'ServiceUnavailable', message: expect.not.stringContaining('db.internal') },
    });
    away = false;
    expect((await post(activity())).body.activities?.map(({ text }) => text)).toEqual(['ok']);
  });
});
