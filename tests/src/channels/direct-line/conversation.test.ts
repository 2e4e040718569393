// What is checked here is what the public reference of Direct Line API 3.0 says
// (learn.microsoft.com/azure/bot-service/rest-api/bot-framework-rest-direct-line-3-0-api-reference
// and its pages on authentication, starting, sending, receiving and reconnecting).
import { afterEach, describe, expect, it } from 'vitest';
import { fakeConversations } from '../../support/fake-conversations.ts';
import { type RunningServer, type StartOptions, startServer } from '../../support/start-server.ts';

let server: RunningServer;
afterEach(() => server.stop());

type Json = Record<string, never> & {
  activities: Activity[];
  watermark: string;
  error: { code: string; message: string };
};
interface Activity {
  id: string;
  type: string;
  text: string;
  from: { id: string; role: string };
  replyToId?: string;
  suggestedActions?: { actions: { type: string; title: string; value: string }[] };
  channelData: { lapwing: Record<string, unknown>; clientActivityID?: string };
}

async function call(
  method: string,
  path: string,
  options: { token?: string; body?: unknown; headers?: HeadersInit } = {},
) {
  const { token, body, headers } = options;
  const response = await fetch(`${server.url}/v3/directline${path}`, {
    method,
    headers: { ...(token && { Authorization: `Bearer ${token}` }), 'Content-Type': 'application/json', ...headers },
    ...(body !== undefined && { body: typeof body === 'string' ? body : JSON.stringify(body) }),
  });
  return { status: response.status, body: (await response.json()) as Json, headers: response.headers };
}

async function started(options: StartOptions = {}) {
  server = await startServer(options);
  const { body } = await call('POST', '/conversations', { body: { user: { id: 'u1' }, locale: 'es' } });
  const { conversationId: id, token } = body as unknown as { conversationId: string; token: string };
  const send = (activity: unknown, query = '', headers: HeadersInit = {}) =>
    call('POST', `/conversations/${id}/activities${query}`, { token, body: activity, headers });
  const read = (watermark = '') => call('GET', `/conversations/${id}/activities?watermark=${watermark}`, { token });
  return { id, token, send, read };
}

const message = (text: string, extra: object = {}) => ({ type: 'message', from: { id: 'u1' }, text, ...extra });

describe('starting', () => {
  it('answers 201 with an id, a token, its seconds and a stream address', async () => {
    server = await startServer();
    const { status, body } = await call('POST', '/conversations');
    expect(status).toBe(201);
    expect(body).toMatchObject({ conversationId: expect.any(String), token: expect.any(String), expires_in: 1800 });
    expect(body.streamUrl).toMatch(/^ws:\/\/127\.0\.0\.1:\d+\/v3\/directline\/conversations\/[\w-]+\/stream\?/);
  });

  it('answers 200 when the token had started the conversation before', async () => {
    const { id, token } = await started();
    const again = await call('POST', '/conversations', { token });
    expect(again.status).toBe(200);
    expect(again.body.conversationId).toBe(id);
  });

  it('starts the conversation a generated token is bound to', async () => {
    server = await startServer();
    const { body: generated } = await call('POST', '/tokens/generate', { body: { user: { id: 'dl_7' } } });
    expect(generated.expires_in).toBe(1800);
    const { status, body } = await call('POST', '/conversations', { token: generated.token });
    expect(status).toBe(201);
    expect(body.conversationId).toBe(generated.conversationId);
  });

  it('opens with the bot speaking the language of the client', async () => {
    const { read } = await started();
    const { body } = await read();
    expect(body.activities).toHaveLength(1);
    expect(body.activities[0]).toMatchObject({ type: 'message', locale: 'es', from: { role: 'bot' } });
    expect(body.activities[0]?.text).toBe('Hello.\n\nHow heavy is the child?');
    expect(body.watermark).toBe('1');
  });
});

describe('talking', () => {
  it('gives the id of the activity, then the message and its answer in order', async () => {
    const { send, read } = await started();
    const sent = await send(message('14 kg', { channelData: { clientActivityID: 'k1' } }));
    expect(sent.status).toBe(200);
    const { body } = await read('1');
    expect(body.activities.map(({ id, from, text }) => [id, from.role, text])).toEqual([
      [sent.body.id, 'user', '14 kg'],
      ['bot:2', 'bot', 'You wrote: 14 kg\n\nWhat else?'],
    ]);
    expect(body.activities[0]?.channelData.clientActivityID).toBe('k1');
    expect(body.activities[0]?.from.id).toBe('u1');
    expect(body.activities[1]?.replyToId).toBe(sent.body.id);
    expect(body.watermark).toBe('3');
    expect((await read('3')).body).toEqual({ activities: [], watermark: '3' });
  });

  it('offers choices as suggested actions and keeps their ids in the channel data', async () => {
    const choices = [
      { id: 'yes', text: 'Sí' },
      { id: 'no', text: 'No' },
    ];
    const { read } = await started({ conversations: fakeConversations(() => ({ say: ['¿?'], choices })) });
    const [activity] = (await read()).body.activities;
    expect(activity?.suggestedActions?.actions).toEqual([
      { type: 'imBack', title: 'Sí', value: 'Sí' },
      { type: 'imBack', title: 'No', value: 'No' },
    ]);
    expect(activity?.channelData.lapwing).toMatchObject({ choices, many: false, asking: 'weight', done: false });
  });

  it.each([
    ['value', { value: { choiceIds: ['coat', 'clip-low'] } }],
    ['channelData', { channelData: { choiceIds: ['coat', 'clip-low'] } }],
  ])('hands on the ids of ticked choices from %s', async (_where, extra) => {
    const { send } = await started();
    await send(message('Coat, Clip low', extra));
    expect(server.conversations.handled[0]?.choiceIds).toEqual(['coat', 'clip-low']);
  });

  it('answers a message delivered twice with the same lines and does it once', async () => {
    const { send, read } = await started();
    const activity = message('14 kg', { channelData: { clientActivityID: 'same' } });
    const [first, second] = [await send(activity), await send(activity)];
    expect(second.body).toEqual(first.body);
    expect(server.conversations.handled).toHaveLength(1);
    expect((await read()).body.activities).toHaveLength(3);
  });

  it('knows a repeated delivery by the id of the activity too', async () => {
    const { send } = await started();
    await send(message('14 kg', { id: 'a-1' }));
    await send(message('14 kg', { id: 'a-1' }));
    expect(server.conversations.handled).toHaveLength(1);
  });

  it('takes two equal messages without an id for two', async () => {
    const { send } = await started();
    await send(message('no'));
    await send(message('no'));
    expect(server.conversations.handled).toHaveLength(2);
  });

  it('gives the answer at once to a client that prefers it so (RFC 7240)', async () => {
    const { send } = await started();
    const sent = await send(message('14 kg'), '?watermark=1', { Prefer: 'return=representation' });
    expect(sent.headers.get('preference-applied')).toBe('return=representation');
    expect(sent.body.activities.map(({ text }) => text)).toEqual(['14 kg', 'You wrote: 14 kg\n\nWhat else?']);
  });

  it('takes note of events and typing without an answer', async () => {
    const { send } = await started();
    for (const type of ['event', 'typing', 'conversationUpdate', 'endOfConversation']) {
      expect((await send({ type, from: { id: 'u1' }, name: 'x' })).status).toBe(200);
    }
    expect(server.conversations.handled).toHaveLength(0);
  });

  it('gives the goodbye once after everything was deleted', async () => {
    const { send, read } = await started();
    await send(message('delete everything'));
    const { body } = await read('1');
    expect(body.activities.map(({ text }) => text)).toEqual(['You wrote: delete everything\n\nWhat else?']);
    expect((await read(body.watermark)).body.activities).toEqual([]);
  });

  it('shows what a technician wrote', async () => {
    const { id, read } = await started();
    server.conversations.technicianWrites(id, 'Bring the base too.');
    const [activity] = (await read('1')).body.activities;
    expect(activity).toMatchObject({ from: { id: 'technician', role: 'bot' }, text: 'Bring the base too.' });
  });
});

describe('bad input', () => {
  it.each([
    ['no body', '', /activity/],
    ['a list', '[]', /activity/],
    ['no type', '{"text":"hi"}', /type/],
    ['text that is a number', '{"type":"message","text":5}', /text/],
    ['an unknown type', '{"type":"invoke"}', /invoke/],
  ])('refuses %s with 400 and says what is wrong', async (_what, body, said) => {
    const { send } = await started();
    const answer = await send(body);
    expect(answer.status).toBe(400);
    expect(answer.body.error.code).toBe('BadArgument');
    expect(answer.body.error.message).toMatch(said);
  });

  it('refuses a body that is not JSON', async () => {
    const { send } = await started();
    const answer = await send('{"type":');
    expect(answer.status).toBe(400);
    expect(answer.body.error.code).toBe('BadSyntax');
  });

  it('takes 10,000 characters and refuses one more with 413', async () => {
    const { send } = await started();
    expect((await send(message('\u0001'.repeat(10_000)))).status).toBe(200);
    const answer = await send(message('x'.repeat(10_001)));
    expect(answer.status).toBe(413);
    expect(answer.body.error.message).toMatch(/10000 characters/);
  });

  it('refuses a body past all measure with 413', async () => {
    const { send } = await started();
    expect((await send(message('x'.repeat(200_000)))).status).toBe(413);
  });

  it('turns control characters and halves of characters into harmless ones', async () => {
    const { send } = await started();
    await send('{"type":"message","text":"a\\u0000b\\r\\nc\\ud800\\u001b[31m 🙂"}');
    expect(server.conversations.handled[0]?.text).toBe('a b\nc\ufffd [31m 🙂');
  });

  it('takes an empty message and an emoji alone', async () => {
    const { send } = await started();
    await send({ type: 'message' });
    await send(message('👶'));
    expect(server.conversations.handled.map(({ text }) => text)).toEqual(['', '👶']);
  });

  it('refuses a watermark it never gave', async () => {
    const { read } = await started();
    expect((await read('0000a-42')).status).toBe(400);
  });

  it('answers 502 without any detail when a turn fails, and the message may be sent again', async () => {
    let failing = true;
    const conversations = fakeConversations((incoming) => {
      if (incoming.text === '' || !failing) return { say: ['ok'] };
      throw new Error('secret of the database');
    });
    const { send } = await started({ conversations });
    const answer = await send(message('hello', { id: 'r1' }));
    expect(answer.status).toBe(502);
    expect(answer.body.error.code).toBe('BotRejectedActivity');
    expect(JSON.stringify(answer.body)).not.toContain('database');
    expect(server.logLines.join('')).not.toContain('secret of the database');
    failing = false;
    expect((await send(message('hello', { id: 'r1' }))).status).toBe(200);
  });
});

describe('files', () => {
  const form = (activity: object | null) => {
    const data = new FormData();
    if (activity)
      data.append('activity', new Blob([JSON.stringify(activity)], { type: 'application/vnd.microsoft.activity' }));
    data.append('file', new Blob([new Uint8Array(2000)], { type: 'image/jpeg' }), 'label.jpg');
    return data;
  };

  it('takes an upload, answers its words and says that pictures cannot be read', async () => {
    const { id, token, read } = await started();
    const answer = await fetch(`${server.url}/v3/directline/conversations/${id}/upload?userId=u1`, {
      method: 'POST',
      headers: { Authorization: `Bearer ${token}` },
      body: form(message('the label')),
    });
    expect(answer.status).toBe(200);
    expect(server.conversations.handled.map(({ text }) => text)).toEqual(['the label']);
    const texts = (await read('1')).body.activities.map(({ text }) => text);
    expect(texts.at(-1)).toMatch(/imágenes/);
    expect(texts).toHaveLength(3);
  });

  it('takes one bare file', async () => {
    const { id, token } = await started();
    const answer = await fetch(`${server.url}/v3/directline/conversations/${id}/upload?userId=u1`, {
      method: 'POST',
      headers: { Authorization: `Bearer ${token}`, 'Content-Type': 'image/jpeg' },
      body: new Uint8Array(2000),
    });
    expect(answer.status).toBe(200);
    expect(server.conversations.handled).toHaveLength(0);
  });

  it('gives a file without words back under its name and the id of the client, once, however often it is sent', async () => {
    const { id, token, read } = await started();
    const activity = { type: 'message', from: { id: 'u1' }, text: '', channelData: { clientActivityID: 'p1' } };
    for (let times = 0; times < 2; times++) {
      await fetch(`${server.url}/v3/directline/conversations/${id}/upload?userId=u1`, {
        method: 'POST',
        headers: { Authorization: `Bearer ${token}` },
        body: form(activity),
      });
    }
    const lines = (await read('1')).body.activities;
    expect(lines.map(({ from, text }) => [from.role, text])).toEqual([
      ['user', 'label.jpg'],
      ['bot', expect.stringMatching(/imágenes/)],
    ]);
    expect(lines[0]?.channelData.clientActivityID).toBe('p1');
    expect(server.conversations.handled).toHaveLength(0);
  });

  it.each([
    [`name="file"; filename="seat label.jpg"`, 'seat label.jpg'],
    [`name="file"; filename*=UTF-8''ni%C3%B1o.jpg`, 'niño.jpg'],
    [`name="file"; filename*=UTF-8''%E0%A4%A`, '📎'],
    ['', '📎'],
  ])('reads the name of a bare file out of Content-Disposition: %s (RFC 6266)', async (disposition, shown) => {
    const { id, token, read } = await started();
    await fetch(`${server.url}/v3/directline/conversations/${id}/upload?userId=u1`, {
      method: 'POST',
      headers: {
        Authorization: `Bearer ${token}`,
        'Content-Type': 'image/jpeg',
        ...(disposition && { 'Content-Disposition': disposition }),
      },
      body: new Uint8Array(20),
    });
    expect((await read('1')).body.activities[0]?.text).toBe(shown);
  });

  it('has photos read before the message is answered, once, and gives the answer to a client that prefers so', async () => {
    const read: Buffer[] = [];
    const photo = { reading: { kind: 'problem', problem: 'unreadable' }, pictures: [] } as const;
    const readPhoto = async (files: readonly Buffer[]) => {
      read.push(...files);
      return photo;
    };
    const { id, token } = await started({ readPhoto });
    const activity = { type: 'message', from: { id: 'u1' }, text: '', channelData: { clientActivityID: 'photo-1' } };
    const send = async () => {
      const response = await fetch(`${server.url}/v3/directline/conversations/${id}/upload?watermark=1`, {
        method: 'POST',
        headers: { Authorization: `Bearer ${token}`, Prefer: 'return=representation' },
        body: form(activity),
      });
      return ((await response.json()) as Json).activities.map(({ text }) => text);
    };
    const answered = ['label.jpg', 'You wrote: label.jpg\n\nWhat else?'];
    expect([await send(), await send()]).toEqual([answered, answered]);
    expect(read.map(({ length }) => length)).toEqual([2000]);
    expect(server.conversations.handled.map((one) => one.photo)).toEqual([photo]);
  });

  it('holds no more than four uploads in memory, however many come at once', async () => {
    let inside = 0;
    let most = 0;
    const held = Promise.withResolvers<void>();
    const readPhoto = async () => {
      inside += 1;
      most = Math.max(most, inside);
      await held.promise;
      inside -= 1;
      return { reading: { kind: 'problem', problem: 'unreadable' }, pictures: [] } as const;
    };
    const { id, token } = await started({ readPhoto });
    const statuses = Promise.all(
      Array.from({ length: 10 }, async (_, i) => {
        const activity = { type: 'message', text: '', channelData: { clientActivityID: `photo-${i}` } };
        const response = await fetch(`${server.url}/v3/directline/conversations/${id}/upload`, {
          method: 'POST',
          headers: { Authorization: `Bearer ${token}` },
          body: form(activity),
        });
        return response.status;
      }),
    );
    await expect.poll(() => inside).toBe(4);
    // Long enough for the others to have come.
    for (let i = 0; i < 10; i++) await fetch(`${server.url}/healthz`);
    held.resolve();
    expect(await statuses).toEqual(Array(10).fill(200));
    expect(most).toBe(4);
    expect(server.conversations.handled).toHaveLength(10);
  });
});
