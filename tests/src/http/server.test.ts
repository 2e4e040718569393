import { request } from 'node:http';
import { afterEach, describe, expect, it } from 'vitest';
import { type RunningServer, type StartOptions, startServer } from '../support/start-server.ts';

let server: RunningServer;
afterEach(() => server.stop());

const start = async (options: StartOptions = {}) => {
  server = await startServer(options);
  return (path: string, init: RequestInit = {}) => fetch(server.url + path, init);
};

describe('operations', () => {
  it('says that it lives, and that it is ready while the store can be reached', async () => {
    let reachable = true;
    const get = await start({ ping: async () => (reachable ? undefined : Promise.reject(new Error('gone'))) });
    expect((await get('/healthz')).status).toBe(200);
    expect(await (await get('/readyz')).json()).toEqual({ status: 'ready' });
    reachable = false;
    expect((await get('/readyz')).status).toBe(503);
    expect((await get('/healthz')).status).toBe(200);
  });

  it('counts requests by route and turns by channel in Prometheus text', async () => {
    const get = await start();
    const opened = (await (await get('/v3/directline/conversations', { method: 'POST' })).json()) as { token: string };
    await get('/v3/directline/conversations/secret-looking-id/activities');
    const metrics = await get('/metrics');
    const text = await metrics.text();
    expect(text).toContain('lapwing_outbox_entries{destination="mail",state="failed"} 2');
    expect(metrics.headers.get('content-type')).toMatch(/^text\/plain; version=0\.0\.4/);
    expect(text).toMatch(/lapwing_turns_total\{channel="direct-line",outcome="answered"\} 1/);
    expect(text).toMatch(/route="\/v3\/directline\/conversations\/:conversationId\/activities"/);
    expect(text).not.toContain('secret-looking-id');
    expect(opened.token.length).toBeGreaterThan(20);
  });
});

describe('schemas', () => {
  it.each(['/schema/case.json', '/schema/pre-visit-summary.json'])('serves %s as JSON Schema 2020-12', async (path) => {
    const get = await start();
    const answer = await get(path);
    expect(answer.headers.get('content-type')).toBe('application/json; charset=utf-8');
    const schema = (await answer.json()) as { $schema: string; type: string };
    expect(schema).toMatchObject({ $schema: 'https://json-schema.org/draft/2020-12/schema', type: 'object' });
  });
});

describe('errors', () => {
  it('answers an unknown address in JSON to a program and with a page to a person', async () => {
    const get = await start();
    const json = await get('/nowhere');
    expect(json.status).toBe(404);
    expect(await json.json()).toEqual({ error: { code: 'NotFound', message: 'There is nothing at this address.' } });
    const page = await get('/nowhere', { headers: { Accept: 'text/html', 'Accept-Language': 'es-MX, en;q=0.5' } });
    expect(page.status).toBe(404);
    expect(page.headers.get('content-type')).toBe('text/html; charset=utf-8');
    const html = await page.text();
    expect(html).toContain('<html lang="es" dir="ltr">');
    expect(html).toContain('Aquí no hay nada');
  });

  it('says 405 for a method that an address does not take', async () => {
    const get = await start();
    expect((await get('/healthz', { method: 'DELETE' })).status).toBe(405);
  });

  it('hides what was thrown, and logs it without its message under the id it names', async () => {
    const get = await start({
      registerDesk: (restify) => {
        restify.get('/boom', async () => {
          throw new Error('password=hunter2');
        });
      },
    });
    const answer = await get('/boom');
    const body = await answer.text();
    expect(answer.status).toBe(500);
    expect(body).not.toMatch(/hunter2|at .*\.ts/);
    const id = answer.headers.get('x-request-id') as string;
    expect(body).toContain(id);
    const line = server.logLines.find((text) => text.includes('request failed')) as string;
    expect(line).toContain(id);
    expect(line).toContain('"name":"Error"');
    expect(line).not.toContain('hunter2');
  });
});

describe('every answer', () => {
  it.each(['/', '/healthz', '/nowhere', '/v3/directline/nothing'])(
    'of %s carries the security headers',
    async (path) => {
      const get = await start();
      const { headers } = await get(path);
      expect(headers.get('content-security-policy')).toMatch(/default-src 'none'.*frame-ancestors 'none'/);
      expect(headers.get('content-security-policy')).not.toMatch(/unsafe|\*|https?:/);
      expect(headers.get('x-content-type-options')).toBe('nosniff');
      expect(headers.get('referrer-policy')).toBe('no-referrer');
      expect(headers.get('strict-transport-security')).toBeNull();
      expect(headers.get('server')).toBeFalsy();
    },
  );

  it('asks for https from then on where the public address has it', async () => {
    const get = await start({ config: { publicUrl: 'https://chat.example.org' } });
    expect((await get('/healthz')).headers.get('strict-transport-security')).toMatch(/max-age=/);
    const opened = await get('/v3/directline/conversations', { method: 'POST' });
    expect((await opened.json()) as object).toMatchObject({
      streamUrl: expect.stringMatching(/^wss:\/\/chat\.example\.org\/v3\//),
    });
  });

  it('of HEAD is the same without a body', async () => {
    const get = await start();
    const head = await get('/', { method: 'HEAD' });
    expect(head.status).toBe(200);
    expect(await head.text()).toBe('');
  });
});

describe('the log', () => {
  it('keeps addresses, tokens and words out', async () => {
    const get = await start();
    const opened = (await (await get('/v3/directline/conversations', { method: 'POST' })).json()) as {
      conversationId: string;
      token: string;
    };
    await get(`/v3/directline/conversations/${opened.conversationId}/activities?watermark=0&t=${opened.token}`, {
      method: 'POST',
      headers: { Authorization: `Bearer ${opened.token}` },
      body: JSON.stringify({ type: 'message', text: 'my name is Rosalinda' }),
    });
    const log = server.logLines.join('');
    expect(log).toContain('"route":"/v3/directline/conversations/:conversationId/activities"');
    expect(log).not.toContain(opened.token);
    expect(log).not.toContain(opened.conversationId);
    expect(log).not.toContain('Rosalinda');
  });
});

describe('other origins', () => {
  it('may use Direct Line, whose tokens are no cookies, and nothing else', async () => {
    const get = await start();
    const asked = await get('/v3/directline/conversations', {
      method: 'OPTIONS',
      headers: { Origin: 'https://clinic.example', 'Access-Control-Request-Method': 'POST' },
    });
    expect(asked.status).toBe(204);
    expect(asked.headers.get('access-control-allow-headers')).toMatch(/authorization/);
    const other = await get('/chat/start', {
      method: 'POST',
      body: '{}',
      headers: { Origin: 'https://clinic.example' },
    });
    expect(other.headers.get('access-control-allow-origin')).toBeNull();
  });
});

describe('a request that is cut off', () => {
  it('leaves the server well', async () => {
    const get = await start();
    await new Promise<void>((resolve) => {
      const cut = request(`${server.url}/v3/directline/conversations`, {
        method: 'POST',
        headers: { 'Content-Length': '1000' },
      });
      cut.on('error', () => resolve());
      cut.write('{"user"');
      cut.on('socket', (socket) => socket.on('connect', () => cut.destroy(new Error('cut'))));
    });
    expect((await get('/healthz')).status).toBe(200);
  });
});
