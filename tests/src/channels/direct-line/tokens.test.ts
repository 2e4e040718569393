// Direct Line API 3.0, "Authentication": a token is for one conversation, expires after 1800 seconds,
// can be refreshed while it lives, and an expired one is answered 403 with code TokenExpired.
import { createHmac } from 'node:crypto';
import { afterEach, describe, expect, it } from 'vitest';
import { createTokens } from '#src/channels/direct-line/tokens.ts';
import { type RunningServer, startServer } from '../../support/start-server.ts';

let server: RunningServer | null = null;
afterEach(async () => {
  await server?.stop();
  server = null;
});

const SECRET = 'the-direct-line-secret-of-a-test-long-enough';

interface Opened {
  readonly conversationId: string;
  readonly token: string;
  readonly error: { readonly code: string };
}

async function post(path: string, bearer?: string) {
  const response = await fetch(`${server?.url}/v3/directline${path}`, {
    method: 'POST',
    headers: bearer ? { Authorization: `Bearer ${bearer}` } : {},
  });
  return {
    status: response.status,
    body: (await response.json()) as Opened,
  };
}

const activities = async (id: string, bearer: string) => {
  const response = await fetch(`${server?.url}/v3/directline/conversations/${id}/activities`, {
    headers: { Authorization: `Bearer ${bearer}` },
  });
  return { status: response.status, body: (await response.json()) as { error?: { code: string } } };
};

describe('tokens', () => {
  it('are refused with TokenExpired after half an hour, also for refreshing', async () => {
    let now = Date.UTC(2026, 4, 16);
    server = await startServer({ clock: () => new Date(now) });
    const { body } = await post('/conversations');
    now += 1799_000;
    expect((await activities(body.conversationId, body.token)).status).toBe(200);
    now += 1000;
    const late = await activities(body.conversationId, body.token);
    expect(late).toMatchObject({ status: 403, body: { error: { code: 'TokenExpired' } } });
    expect(await post('/tokens/refresh', body.token)).toMatchObject({
      status: 403,
      body: { error: { code: 'TokenExpired' } },
    });
  });

  it('live on when refreshed in time', async () => {
    let now = Date.UTC(2026, 4, 16);
    server = await startServer({ clock: () => new Date(now) });
    const { body } = await post('/conversations');
    now += 900_000;
    const refreshed = await post('/tokens/refresh', body.token);
    expect(refreshed.body.conversationId).toBe(body.conversationId);
    now += 1000_000;
    expect((await activities(body.conversationId, refreshed.body.token)).status).toBe(200);
  });

  it('open no other conversation, and an unknown one is 404', async () => {
    server = await startServer();
    const [mine, other] = [(await post('/conversations')).body, (await post('/conversations')).body];
    expect((await activities(other.conversationId, mine.token)).status).toBe(403);
    const unknown = await activities('nobody', mine.token);
    expect(unknown).toMatchObject({ status: 404, body: { error: { code: 'ConversationNotFound' } } });
  });

  it('are needed: none is 401, another scheme is 401, an altered one is 403', async () => {
    server = await startServer();
    const { body } = await post('/conversations');
    const path = `${server.url}/v3/directline/conversations/${body.conversationId}/activities`;
    expect((await fetch(path)).status).toBe(401);
    expect((await fetch(path, { headers: { Authorization: 'Basic abc' } })).status).toBe(401);
    const altered = `${body.token.slice(0, -2)}xx`;
    expect((await activities(body.conversationId, altered)).status).toBe(403);
  });

  it('are not made without the secret where one is set, and the secret opens everything', async () => {
    server = await startServer({ config: { directLineSecret: SECRET } });
    expect((await post('/tokens/generate')).status).toBe(401);
    expect((await post('/conversations')).status).toBe(401);
    expect((await post('/tokens/generate', 'another-secret')).status).toBe(403);
    const { body } = await post('/tokens/generate', SECRET);
    expect((await post('/conversations', body.token)).status).toBe(201);
    expect((await activities(body.conversationId, SECRET)).status).toBe(200);
    expect((await activities('nobody', SECRET)).status).toBe(404);
  });
});

describe('createTokens', () => {
  const key = Buffer.alloc(32, 7);
  const tokens = createTokens(key, () => new Date(0));

  it('makes tokens whose signature any JSON Web Token library can check (RFC 7519, HS256)', () => {
    const [header, payload, signature] = tokens.issue('conversation', 'c1', 'dl_1').split('.');
    expect(JSON.parse(Buffer.from(header ?? '', 'base64url').toString())).toEqual({ alg: 'HS256', typ: 'JWT' });
    expect(createHmac('sha256', key).update(`${header}.${payload}`).digest('base64url')).toBe(signature);
    expect(JSON.parse(Buffer.from(payload ?? '', 'base64url').toString())).toMatchObject({ user: 'dl_1', exp: 1800 });
  });

  it('takes a token for its own use only', () => {
    const resume = tokens.issue('resume', 'c1', null);
    expect(tokens.check(resume, 'conversation')).toEqual({ ok: false, reason: 'malformed' });
    expect(tokens.check(resume, 'resume')).toEqual({ ok: true, conversationId: 'c1', user: null });
  });

  it('refuses a token that names no algorithm', () => {
    const [, payload] = tokens.issue('conversation', 'c1', null).split('.');
    const none = Buffer.from('{"alg":"none","typ":"JWT"}').toString('base64url');
    expect(tokens.check(`${none}.${payload}.`, 'conversation').ok).toBe(false);
  });

  it.each(['', '.', '..', 'a.b.c', '....'])('refuses %j', (text) => {
    expect(tokens.check(text, 'conversation')).toEqual({ ok: false, reason: 'malformed' });
  });
});
