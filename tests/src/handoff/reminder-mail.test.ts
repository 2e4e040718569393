// Against a real SMTP server (RFC 5321), npm's smtp-server.
import { once } from 'node:events';
import type { AddressInfo } from 'node:net';
import { SMTPServer } from 'smtp-server';
import { expect, it, onTestFinished } from 'vitest';
import { begin } from '#dialogs/conversation.ts';
import fr from '#locales/fr/take-home.json' with { type: 'json' };
import { remindingByMail } from '#src/handoff/reminder-mail.ts';
import type { StoredConversation } from '#src/store/store.ts';
import { createWords } from '#src/words/words.ts';

async function mailServer() {
  const received: { readonly to: readonly string[]; readonly text: string }[] = [];
  const server = new SMTPServer({
    authOptional: true,
    disabledCommands: ['STARTTLS'],
    async onData(stream, session, done) {
      const chunks: Buffer[] = [];
      for await (const chunk of stream) chunks.push(chunk as Buffer);
      const text = Buffer.concat(chunks).toString('utf8').replace(/=\r\n/g, '');
      received.push({ to: session.envelope.rcptTo.map(({ address }) => address), text });
      done();
    },
  });
  server.listen(0, '127.0.0.1');
  await once(server.server, 'listening');
  onTestFinished(() => server.close());
  return { received, smtpUrl: `smtp://127.0.0.1:${(server.server.address() as AddressInfo).port}` };
}

async function remindedWith({
  contact,
  channel = 'direct-line',
  key = 'tell:k1:reminder:asked:c1:expiry:2031-06-30',
}: {
  contact: string | null;
  channel?: string;
  key?: string;
}) {
  const { received, smtpUrl } = await mailServer();
  const { snapshot } = begin({
    language: 'fr',
    languageKnown: true,
    eventId: null,
    reference: 'KV7-2QM',
    today: '2026-05-16',
  });
  const stored = { channel, language: 'fr', snapshot: { ...snapshot, context: { ...snapshot.context, contact } } };
  const from = 'Lapwing <lapwing@example.org>';
  const conversations = { load: async () => stored as unknown as StoredConversation };
  const deliver = remindingByMail(async () => ({ ok: true }), {
    smtpUrl,
    from,
    words: createWords(),
    conversations,
    base: 'https://seats.example.org',
  });
  const payload = { conversationId: 'k1', text: 'Bonjour ! Wren' };
  const sent = await deliver({ id: 'o1', payload, idempotencyKey: key, createdAt: '2026-05-16T12:00:00.000Z' });
  return { received, sent };
}

it('reaches a family that left an address, in its language, with the way back into its chat', async () => {
  const { received, sent } = await remindedWith({ contact: 'écrivez à wren.family@example.org, merci' });
  expect(sent).toEqual({ ok: true });
  expect(received.map(({ to }) => to)).toEqual([['wren.family@example.org']]);
  expect(received[0]?.text).toContain('https://seats.example.org/?lang=3Dfr');
  expect(received[0]?.text).toContain('Auto-Submitted: auto-generated');
  expect(fr.reminder.subject.length).toBeGreaterThan(5);
});

it.each([
  ['left no address', { contact: null }],
  ['left a telephone number', { contact: '+1 206 555 0100' }],
  ['is written to by its channel', { contact: 'wren@example.org', channel: 'sms' }],
  ['is told something else', { contact: 'wren@example.org', key: 'tell:k1:r2' }],
])('sends nothing to a family that %s', async (_, about) => {
  expect((await remindedWith(about)).received).toEqual([]);
});
