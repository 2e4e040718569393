import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { SMTPServer } from 'smtp-server';
import { Webhook } from 'standardwebhooks';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { preVisitSummarySchema } from '#shared/summary.ts';
import { type ServiceProcess, startProcess } from '../src/support/start-process.ts';

const SECRET = `whsec_${Buffer.alloc(32, 3).toString('base64')}`;

const posted: { headers: Record<string, string>; body: string }[] = [];
const mailed: string[] = [];
let wake = () => {};

const hook = createServer(async (req, res) => {
  const chunks: Buffer[] = [];
  for await (const chunk of req) chunks.push(chunk as Buffer);
  posted.push({ headers: req.headers as Record<string, string>, body: Buffer.concat(chunks).toString('utf8') });
  res.writeHead(204).end();
  wake();
});
const post = new SMTPServer({
  authOptional: true,
  disabledCommands: ['STARTTLS'],
  async onData(stream, _session, done) {
    const chunks: Buffer[] = [];
    for await (const chunk of stream) chunks.push(chunk as Buffer);
    mailed.push(Buffer.concat(chunks).toString('utf8'));
    done();
    wake();
  },
});

let dataDir: string;
let service: ServiceProcess;
beforeAll(async () => {
  dataDir = mkdtempSync(join(tmpdir(), 'lapwing-handoff-'));
  hook.listen(0, '127.0.0.1');
  post.listen(0, '127.0.0.1');
  await Promise.all([once(hook, 'listening'), once(post.server, 'listening')]);
  service = await startProcess(dataDir, {
    LAPWING_DEMO: 'off',
    LAPWING_WEBHOOK_URL: `http://127.0.0.1:${(hook.address() as AddressInfo).port}/`,
    LAPWING_WEBHOOK_SECRET: SECRET,
    LAPWING_SMTP_URL: `smtp://127.0.0.1:${(post.server.address() as AddressInfo).port}`,
    LAPWING_MAIL_FROM: 'lapwing@example.org',
    LAPWING_MAIL_TO: 'tech@example.org',
  });
});
afterAll(async () => {
  await service.end('SIGKILL');
  hook.close();
  hook.closeAllConnections();
  post.close();
  rmSync(dataDir, { recursive: true });
});

it('a family that asks for a person is told of by a signed webhook and by mail, once each', async () => {
  const opened = await fetch(`${service.url}/v3/directline/conversations`, {
    method: 'POST',
    body: JSON.stringify({ locale: 'en' }),
  });
  const { conversationId, token } = (await opened.json()) as { conversationId: string; token: string };
  const say = async (text: string) => {
    const answer = await fetch(`${service.url}/v3/directline/conversations/${conversationId}/activities`, {
      method: 'POST',
      headers: {
        Authorization: `Bearer ${token}`,
        'Content-Type': 'application/json',
        Prefer: 'return=representation',
      },
      body: JSON.stringify({ type: 'message', from: { id: 'u' }, text }),
    });
    const { activities } = (await answer.json()) as { activities: { channelData: { lapwing?: { done: boolean } } }[] };
    return activities.at(-1)?.channelData.lapwing?.done;
  };
  await say('yes');
  let done = await say('I want to talk to a person');
  // A way to be reached may be asked for first.
  for (let turns = 0; !done && turns < 5; turns++) done = await say('no');
  expect(done).toBe(true);
  while (posted.length === 0 || mailed.length === 0) {
    await new Promise<void>((resolve) => {
      wake = resolve;
    });
  }
  const [{ headers, body }] = posted as [(typeof posted)[number]];
  const event = new Webhook(SECRET).verify(body, headers) as { type: string; data: unknown };
  expect(event.type).toBe('person.wanted');
  const { reference, person } = preVisitSummarySchema.parse(event.data);
  expect(person).toBe(true);
  expect(mailed[0]).toContain(`${service.url}/desk/cases/${reference}`);
  expect(await service.end('SIGTERM')).toBe(0);
  expect([posted.length, mailed.length]).toEqual([1, 1]);
});
