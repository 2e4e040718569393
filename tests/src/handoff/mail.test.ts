// Against a real SMTP server (RFC 5321), npm's smtp-server.
import { once } from 'node:events';
import type { AddressInfo } from 'node:net';
import { SMTPServer, type SMTPServerOptions } from 'smtp-server';
import { afterEach, describe, expect, it } from 'vitest';
import { mail } from '#src/handoff/mail.ts';
import { createWords } from '#src/words/words.ts';
import { aSummary, withPriority } from '../../factories/summary.ts';

const words = createWords();
const message = { id: 'msg_0123', kind: 'summary', summary: aSummary(), at: '2026-05-16T09:30:00.000Z' } as const;

let server: SMTPServer | null = null;
afterEach(() => {
  server?.close();
  server = null;
});

interface Received {
  readonly from: string;
  readonly to: readonly string[];
  /** As it came, soft line breaks of quoted-printable taken out. */
  readonly text: string;
}

async function mailServer(options: SMTPServerOptions = {}) {
  const received: Received[] = [];
  server = new SMTPServer({
    authOptional: true,
    disabledCommands: ['STARTTLS'],
    async onData(stream, session, done) {
      const chunks: Buffer[] = [];
      for await (const chunk of stream) chunks.push(chunk as Buffer);
      const { mailFrom, rcptTo } = session.envelope;
      received.push({
        from: mailFrom ? mailFrom.address : '',
        to: rcptTo.map(({ address }) => address),
        text: Buffer.concat(chunks).toString('utf8').replace(/=\r\n/g, ''),
      });
      done();
    },
    ...options,
  });
  server.listen(0, '127.0.0.1');
  await once(server.server, 'listening');
  const { port } = server.server.address() as AddressInfo;
  const send = (language = 'en', user = '') =>
    mail({
      smtpUrl: `smtp://${user}127.0.0.1:${port}`,
      from: 'Lapwing <lapwing@example.org>',
      to: ['tech@example.org', 'Desk <desk@example.org>'],
      say: words.say(language, 'mail'),
      deskAddress: (reference) => `https://seats.example.org/desk/cases/${reference}`,
    });
  return { received, send };
}

describe('a mail', () => {
  it('tells its readers of a new summary and where it is', async () => {
    const { received, send } = await mailServer();
    expect(await send()(message)).toEqual({ ok: true });
    expect(received).toHaveLength(1);
    const [{ from, to, text }] = received as [Received];
    expect(from).toBe('lapwing@example.org');
    expect(to).toEqual(['tech@example.org', 'desk@example.org']);
    expect(text).toMatch(/^Subject: Seat check KV7-2QM: a new summary\r$/m);
    expect(text).toMatch(/^Message-ID: <msg_0123@example.org>\r$/m);
    expect(text).toMatch(/^Auto-Submitted: auto-generated\r$/m);
    expect(text).toContain('https://seats.example.org/desk/cases/KV7-2QM');
    expect(text).not.toContain('before the family travels');
  });

  it('holds no fact and no word of the family', async () => {
    const { received, send } = await mailServer();
    const summary = aSummary({ notes: 'call 555-0100' });
    await send()({ ...message, summary });
    for (const told of ['Wren', '555-0100', ...summary.caregiverWords.map(({ text }) => text)]) {
      expect(received[0]?.text).not.toContain(told);
    }
  });

  it('says when something cannot wait, and that a person is wanted, in the language of the desk', async () => {
    const { received, send } = await mailServer();
    await send('es')({ ...message, kind: 'person-wanted', summary: withPriority('before-travel', {}) });
    const text = received[0]?.text ?? '';
    expect(text).toContain('antes de que la familia vuelva a viajar');
    expect(text).toContain('Una familia quisiera hablar con una persona');
  });

  it.each([
    [
      'refuses the reader',
      { onRcptTo: (_to, _session, done) => done(Object.assign(new Error('no such box'), { responseCode: 550 })) },
      /^EENVELOPE 550$/,
    ],
    [
      'is busy',
      { onMailFrom: (_from, _session, done) => done(Object.assign(new Error('later'), { responseCode: 451 })) },
      /^EENVELOPE 451$/,
    ],
    [
      'refuses the password',
      { authOptional: false, onAuth: (_a, _s, done) => done(new Error('wrong')) },
      /^EAUTH 535$/,
    ],
  ] satisfies [string, SMTPServerOptions, RegExp][])(
    'is tried again when the server %s',
    async (_what, options, why) => {
      const { received, send } = await mailServer({ allowInsecureAuth: true, ...options });
      const user = 'onAuth' in options ? 'lapwing:wrong@' : '';
      expect(await send('en', user)(message)).toEqual({ ok: false, why: expect.stringMatching(why), retry: true });
      expect(received).toEqual([]);
    },
  );

  it('is tried again when there is no server', async () => {
    const { send } = await mailServer();
    const closing = send();
    await new Promise<void>((resolve) => server?.close(() => resolve()));
    expect(await closing(message)).toMatchObject({
      ok: false,
      retry: true,
      why: expect.stringMatching(/^ESOCKET|ECONN/),
    });
  });
});
