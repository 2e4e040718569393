// The receiver checks with `standardwebhooks`, the reference library of the Standard Webhooks specification 1.0
// (github.com/standard-webhooks/standard-webhooks, spec/standard-webhooks.md).
import { once } from 'node:events';
import { createServer, type IncomingHttpHeaders, type RequestListener, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { Webhook } from 'standardwebhooks';
import { afterEach, describe, expect, it } from 'vitest';
import { messageId } from '#src/handoff/destination.ts';
import { webhook } from '#src/handoff/webhook.ts';
import { aSummary } from '../../factories/summary.ts';

const SECRET = `whsec_${Buffer.alloc(32, 7).toString('base64')}`;
const OLD_SECRET = `whsec_${Buffer.alloc(24, 9).toString('base64')}`;
const message = {
  id: messageId('KV7-2QM:4/webhook'),
  kind: 'summary',
  summary: aSummary(),
  at: '2026-05-16T09:30:00.000Z',
} as const;
const clock = () => new Date();

const servers: Server[] = [];
afterEach(() => {
  for (const server of servers.splice(0)) {
    server.closeAllConnections();
    server.close();
  }
});

interface Heard {
  readonly headers: IncomingHttpHeaders;
  readonly body: string;
}

async function receiver(answer: RequestListener) {
  const heard: Heard[] = [];
  const server = createServer(async (req, res) => {
    const chunks: Buffer[] = [];
    for await (const chunk of req) chunks.push(chunk as Buffer);
    heard.push({ headers: req.headers, body: Buffer.concat(chunks).toString('utf8') });
    answer(req, res);
  }).listen(0, '127.0.0.1');
  servers.push(server);
  await once(server, 'listening');
  return { heard, url: `http://127.0.0.1:${(server.address() as AddressInfo).port}/hook` };
}

const status =
  (code: number, headers: Record<string, string> = {}): RequestListener =>
  (_req, res) => {
    res.writeHead(code, headers).end();
  };

const verified = (secret: string, { headers, body }: Heard) =>
  new Webhook(secret).verify(body, headers as Record<string, string>);

describe('a webhook', () => {
  it('carries the summary, signed so that the reference library takes it', async () => {
    const { heard, url } = await receiver(status(204));
    const summary = aSummary({ notes: 'niño 👶 "quoted" 汉' });
    expect(await webhook({ url, secrets: [SECRET], clock })({ ...message, summary })).toEqual({ ok: true });
    expect(verified(SECRET, heard[0] as Heard)).toEqual({ type: 'summary.sent', timestamp: message.at, data: summary });
    expect(heard[0]?.headers).toMatchObject({ 'webhook-id': message.id, 'content-type': 'application/json' });
  });

  it('is refused by the library under another key, an altered body, and an old timestamp', async () => {
    const { heard, url } = await receiver(status(200));
    await webhook({ url, secrets: [SECRET], clock })(message);
    const long = () => new Date(Date.now() - 10 * 60 * 1000);
    await webhook({ url, secrets: [SECRET], clock: long })(message);
    const [fresh, old] = heard as [Heard, Heard];
    expect(() => verified(OLD_SECRET, fresh)).toThrow(/No matching signature/);
    expect(() => verified(SECRET, { ...fresh, body: fresh.body.replace('summary', 'Summary') })).toThrow();
    expect(() => verified(SECRET, old)).toThrow(/too old/);
  });

  it('is signed with both keys while they are changed', async () => {
    const { heard, url } = await receiver(status(200));
    await webhook({ url, secrets: [SECRET, OLD_SECRET], clock })({ ...message, kind: 'person-wanted' });
    for (const secret of [SECRET, OLD_SECRET]) {
      expect(verified(secret, heard[0] as Heard)).toMatchObject({ type: 'person.wanted' });
    }
  });

  it.each([
    [500, {}, { ok: false, why: 'answered 500', retry: true, afterMs: 0 }],
    [404, {}, { ok: false, why: 'answered 404', retry: true, afterMs: 0 }],
    [429, { 'Retry-After': '90' }, { ok: false, why: 'answered 429', retry: true, afterMs: 90_000 }],
    [503, { 'Retry-After': '999999999' }, { ok: false, why: 'answered 503', retry: true, afterMs: 86_400_000 }],
    [503, { 'Retry-After': 'soon' }, { ok: false, why: 'answered 503', retry: true, afterMs: 0 }],
    [410, {}, { ok: false, why: 'answered 410', retry: false }],
  ])('takes %i %j for a failure', async (code, headers, sent) => {
    const { url } = await receiver(status(code, headers));
    expect(await webhook({ url, secrets: [SECRET], clock })(message)).toEqual(sent);
  });

  it('does not go where it is redirected to', async () => {
    const elsewhere = await receiver(status(200));
    const { url } = await receiver(status(307, { Location: elsewhere.url }));
    expect(await webhook({ url, secrets: [SECRET], clock })(message)).toMatchObject({ ok: false, why: 'answered 307' });
    expect(elsewhere.heard).toEqual([]);
  });

  it('does not wait for a receiver that says nothing', async () => {
    const { url } = await receiver(() => {});
    const sent = await webhook({ url, secrets: [SECRET], clock, timeoutMs: 50 })(message);
    expect(sent).toEqual({ ok: false, why: 'no answer in time', retry: true });
  });

  it('reads no endless answer', async () => {
    let ended = () => {};
    const cut = new Promise<void>((resolve) => (ended = resolve));
    const { url } = await receiver((_req, res) => {
      res.on('close', () => ended());
      res.writeHead(200);
      const more = () => res.destroyed || res.write(Buffer.alloc(8000), () => setImmediate(more));
      more();
    });
    expect(await webhook({ url, secrets: [SECRET], clock })(message)).toEqual({ ok: true });
    await cut;
  });

  it('says why a receiver was not reached, without its address', async () => {
    const { url } = await receiver(status(200));
    servers.pop()?.close();
    const sent = await webhook({ url, secrets: [SECRET], clock })(message);
    expect(sent).toEqual({ ok: false, why: 'ECONNREFUSED', retry: true });
  });
});

it('the id of a message tells one delivery from another and gives nothing of its key away', () => {
  expect(messageId('KV7-2QM:4/webhook')).toMatch(/^msg_[0-9a-f]{32}$/);
  expect(messageId('KV7-2QM:4/mail')).not.toBe(messageId('KV7-2QM:4/webhook'));
  expect(messageId('KV7-2QM:4/mail')).toBe(messageId('KV7-2QM:4/mail'));
});
