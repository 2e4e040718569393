import { afterEach, describe, expect, it } from 'vitest';
import { type RunningServer, startServer } from '../support/start-server.ts';

let server: RunningServer;
afterEach(() => server.stop());

let nowMs = Date.parse('2026-05-16T12:00:00Z');
const clock = () => new Date(nowMs);

const TOLD = {
  error: { code: 'TooManyRequests', message: expect.stringContaining('safe to send this again') },
};

const start = async (perAddress: number | null, perConversation: number | null, trustedProxies = ['127.0.0.1']) => {
  server = await startServer({
    clock,
    config: { trustedProxies, rateLimits: { perAddress, perConversation } },
  });
  return (path: string, from = '203.0.113.1', init: RequestInit = {}) =>
    fetch(server.url + path, { ...init, headers: { 'X-Forwarded-For': from, ...init.headers } });
};

type Get = Awaited<ReturnType<typeof start>>;

async function opened(get: Get, from?: string) {
  const answer = await get('/v3/directline/conversations', from, { method: 'POST' });
  return (await answer.json()) as { conversationId: string; token: string };
}

const say = (get: Get, { conversationId, token }: Awaited<ReturnType<typeof opened>>, id: string, from?: string) =>
  get(`/v3/directline/conversations/${conversationId}/activities`, from, {
    method: 'POST',
    headers: { Authorization: `Bearer ${token}` },
    body: JSON.stringify({ type: 'message', from: { id: 'user' }, text: id, channelData: { clientActivityID: id } }),
  });

describe('an address that asks too much', () => {
  it('is told in JSON when to try again, and is let in then; another is not held up by it', async () => {
    const get = await start(2, null);
    expect([(await get('/')).status, (await get('/')).status]).toEqual([200, 200]);
    const refused = await get('/chat/start', undefined, { method: 'POST', body: '{}' });
    expect(refused.status).toBe(429);
    expect(refused.headers.get('retry-after')).toBe('30');
    expect(refused.headers.get('content-type')).toBe('application/json; charset=utf-8');
    expect(await refused.json()).toEqual(TOLD);
    expect((await get('/', '203.0.113.2')).status).toBe(200);
    nowMs += 30_000;
    expect((await get('/')).status).toBe(200);
  });

  it('may send twenty times as much where it speaks for all families of a channel', async () => {
    const get = await start(1, null);
    const statuses = [];
    for (let i = 0; i < 21; i++) statuses.push((await get('/api/messages', undefined, { method: 'POST' })).status);
    // Unsigned, each is refused; only the last for its number.
    expect(statuses).toEqual([...Array(20).fill(403), 429]);
  });

  it('sees a page in its language where it asked for one', async () => {
    const get = await start(1, null);
    await get('/');
    const page = await get('/', undefined, { headers: { Accept: 'text/html', 'Accept-Language': 'es' } });
    expect(page.status).toBe(429);
    expect(await page.text()).toContain('<html lang="es"');
  });

  it('cannot escape by writing other addresses before its own', async () => {
    const get = await start(1, null);
    const statuses = [];
    for (const forged of ['198.51.100.1', '198.51.100.2', '198.51.100.3'])
      statuses.push((await get('/', `${forged}, 203.0.113.1`)).status);
    expect(statuses).toEqual([200, 429, 429]);
  });

  it('can be read by a page of another origin', async () => {
    const get = await start(1, null);
    await get('/');
    const refused = await get('/v3/directline/conversations', undefined, { method: 'POST' });
    expect(refused.status).toBe(429);
    expect(refused.headers.get('access-control-allow-origin')).toBe('*');
    expect(refused.headers.get('access-control-expose-headers')).toBe('Retry-After');
  });

  it('still hears whether the service lives', async () => {
    const get = await start(1, null);
    await get('/');
    for (const path of ['/healthz', '/readyz', '/metrics']) {
      for (let i = 0; i < 3; i++) expect((await get(path)).status).toBe(200);
    }
    expect((await get('/')).status).toBe(429);
  });
});

describe('what is asked on this machine', () => {
  it('is not limited by address; a proxy that is not named is told of once in the log', async () => {
    const get = await start(1, null, []);
    for (let i = 0; i < 4; i++) expect((await get('/')).status).toBe(200);
    expect(server.logLines.filter((line) => line.includes('LAPWING_TRUSTED_PROXIES'))).toHaveLength(1);
    expect(server.logLines.join('')).not.toContain('203.0.113.1');
  });
});

describe('a conversation with too many messages', () => {
  it('is refused from whatever address they come, and others go on', async () => {
    const get = await start(null, 2);
    const [one, other] = [await opened(get), await opened(get)];
    expect((await say(get, one, 'a1')).status).toBe(200);
    expect((await say(get, one, 'a2', '198.51.100.1')).status).toBe(200);
    const refused = await say(get, one, 'a3', '198.51.100.2');
    expect(refused.status).toBe(429);
    expect(refused.headers.get('retry-after')).toBe('30');
    expect(await refused.json()).toEqual(TOLD);
    expect((await say(get, other, 'a1')).status).toBe(200);
    expect(server.conversations.handled.map(({ text }) => text)).toEqual(['a1', 'a2', 'a1']);
    const looked = await get(`/v3/directline/conversations/${one.conversationId}/activities`, undefined, {
      headers: { Authorization: `Bearer ${one.token}` },
    });
    expect(looked.status).toBe(200);
  });

  it('loses nothing: the message refused is answered when it is sent again after the wait', async () => {
    const get = await start(null, 1);
    const one = await opened(get);
    await say(get, one, 'a1');
    const refused = await say(get, one, 'a2');
    nowMs += Number(refused.headers.get('retry-after')) * 1000;
    expect((await say(get, one, 'a2')).status).toBe(200);
    expect(server.conversations.handled.map(({ text }) => text)).toEqual(['a1', 'a2']);
  });
});

it('with limits set to none nothing is counted', async () => {
  const get = await start(null, null);
  for (let i = 0; i < 5; i++) expect((await get('/')).status).toBe(200);
});
