// Requests are signed by the vendor's own npm library; what carriers ask for (STOP, START, HELP) is the messaging
// principles of CTIA (2023, section 5.1) and common practice.
import webhooks from 'twilio/lib/webhooks/webhooks.js';
import { expect, it, onTestFinished } from 'vitest';
import { fill } from '#src/channels/plain-text/text-messages.ts';
import { conversationIds } from '#src/channels/sms/conversation-ids.ts';
import { smsWriteTo } from '#src/channels/sms/write-to.ts';
import { caregiver } from '#src/handoff/caregiver.ts';
import { createDispatcher } from '#src/handoff/dispatcher.ts';
import { createEars } from '#src/locales/ears.ts';
import { createLog } from '#src/log.ts';
import { openStore } from '#src/store/open-store.ts';
import { createPersonTurns } from '#src/turns/person-turns.ts';
import { newReference } from '#src/turns/reference.ts';
import { createTurns } from '#src/turns/turns.ts';
import { createVoice } from '#src/words/voice.ts';
import { createWords } from '#src/words/words.ts';
import { aPhoto } from '../../../factories/turn.ts';
import { fakeConversations } from '../../support/fake-conversations.ts';
import { fakeSmsVendor } from '../../support/fake-sms-vendor.ts';
import { startServer } from '../../support/start-server.ts';

const TOKEN = 'an account token of the vendor';
const FAMILY = '+15005550006';
const OURS = '+15005550010';
const words = createWords();

/** The real conversation over text messages, with a vendor that runs here. */
async function phone(perConversation: number | null = null) {
  let now = Date.parse('2026-05-16T09:00:00Z');
  const clock = () => new Date(now);
  const store = await openStore({ dataDir: ':memory:', clock });
  const voice = createVoice(words);
  let ids = 0;
  const newId = () => `b${++ids}`;
  const { conversations, outbox, optOuts } = store;
  const ears = createEars();
  const turns = createTurns({ conversations, photos: store.photos, voice, ears, clock, newReference, newId });
  const vendor = await fakeSmsVendor();
  const config = { account: 'AC1', token: TOKEN, apiUrl: `${vendor.url}/2010-04-01` };
  const read: string[] = [];
  const server = await startServer({
    conversations: { ...fakeConversations(), turns, store: conversations },
    config: { publicUrl: 'https://seats.example.org', rateLimits: { perAddress: null, perConversation } },
    sms: { config, outbox, optOuts, words, emergency: ears.emergency },
    readPhoto: async (files) => {
      read.push(...files.map(String));
      return { reading: { kind: 'problem', problem: 'unreadable' }, pictures: [aPhoto()] };
    },
    clock,
  });
  const secret = 'a test secret that is long enough for anyone';
  const logLines: string[] = [];
  const dispatcher = createDispatcher({
    outbox,
    destinations: {},
    caregiver: caregiver({
      conversations,
      clock,
      channels: { sms: smsWriteTo({ config, ids: conversationIds(secret, []), optOuts }) },
    }),
    clock,
    random: () => 1,
    log: createLog('info', { write: (line) => logLines.push(line) }),
  });
  onTestFinished(async () => {
    await dispatcher.stop();
    await server.stop();
    vendor.close();
    await store.close();
  });

  /** Posts a message as the vendor does; gives what is answered and what was sent meanwhile. */
  async function text(Body: string, { sign = TOKEN, ...extra }: Record<string, string> = {}, path = '/api/sms') {
    const params: Record<string, string> = {
      MessageSid: `SM${++ids}`,
      AccountSid: 'AC1',
      From: FAMILY,
      To: OURS,
      NumMedia: '0',
      Body,
      ...extra,
    };
    const signature = webhooks.getExpectedTwilioSignature(sign, `https://seats.example.org${path}`, params);
    const response = await fetch(`${server.url}${path}`, {
      method: 'POST',
      headers: { 'X-Twilio-Signature': signature },
      body: new URLSearchParams(params),
    });
    const body = await response.text();
    const answers = [...body.matchAll(/<Message>(.*?)<\/Message>/gs)].map(([, message]) => message ?? '');
    await dispatcher.run();
    const sent = vendor.sent.splice(0);
    return { status: response.status, body, answers, sent, lines: sent.map(({ body: line }) => line).join('\n') };
  }

  async function conversation() {
    const [first] = (await store.cases.list({ pageSize: 5 })).cases;
    const found = await store.cases.byReference(first?.reference ?? '');
    return found.state === 'found' ? found.conversationId : '';
  }
  const person = createPersonTurns({ store, voice, clock, newId });
  return {
    text,
    read,
    vendor,
    store,
    dispatcher,
    conversation,
    person,
    server,
    log: () => [...server.logLines, ...logLines].join(''),
    pass: (ms: number) => {
      now += ms;
    },
  };
}

it('greets and asks by text messages that each fit, sent by the API with the account, from the number written to', async () => {
  const { text } = await phone();
  const first = await text('hello');
  expect(first.body).toBe('<?xml version="1.0" encoding="UTF-8"?><Response></Response>');
  // What carriers ask of a first message: who writes, that it may cost, how to stop, how to get help.
  expect(first.lines).toMatch(/Car seat check[\s\S]*rates may apply[\s\S]*STOP/);
  for (const { path, authorization, to, from, body } of first.sent) {
    expect(path).toBe('/2010-04-01/Accounts/AC1/Messages.json');
    expect(authorization).toBe(`Basic ${Buffer.from(`AC1:${TOKEN}`).toString('base64')}`);
    expect([to, from]).toEqual([FAMILY, OURS]);
    expect(fill(body)).toBeLessThanOrEqual(1);
  }
  const spanish = await text('español');
  expect(spanish.lines).toMatch(/[¿?]/);
  const consent = await text('sí');
  expect(consent.lines).toMatch(/niñ/);
});

it('keeps a case of the channel and the event that the address of the number names', async () => {
  const { text, store } = await phone();
  await text('hello', {}, '/api/sms?event=may');
  await text('English', {}, '/api/sms?event=may');
  await text('yes');
  const [one] = (await store.cases.list({ pageSize: 5 })).cases;
  const found = await store.cases.byReference(one?.reference ?? '');
  expect(found).toMatchObject({ state: 'found', summary: { channel: 'sms', event: 'may' } });
});

it('does a message once, however often it is delivered', async () => {
  const { text, store, conversation } = await phone();
  for (const said of ['hello', 'English', 'yes']) await text(said);
  const once = await text('2 children', { MessageSid: 'SMsame' });
  expect(once.sent.length).toBeGreaterThan(0);
  const before = (await store.conversations.thread(await conversation(), 0)).length;
  expect((await text('2 children', { MessageSid: 'SMsame' })).sent).toEqual([]);
  expect(await store.conversations.thread(await conversation(), 0)).toHaveLength(before);
});

it('says first what to do in an emergency, also to the first message of all', async () => {
  const { text } = await phone();
  const { sent } = await text('help we just crashed and my baby is bleeding');
  expect(sent[0]?.body).toContain('911');
  const fresh = await text('my son is not breathing');
  expect(fresh.sent[0]?.body).toContain('911');
});

it.each([
  ['no signature', async (at: string, body: URLSearchParams) => fetch(at, { method: 'POST', body })],
  [
    'a signature of another form',
    async (at: string, body: URLSearchParams) => {
      const signature = webhooks.getExpectedTwilioSignature(TOKEN, 'https://seats.example.org/api/sms', {
        Body: 'other',
      });
      return fetch(at, { method: 'POST', body, headers: { 'X-Twilio-Signature': signature } });
    },
  ],
])('refuses %s with 403, and nothing comes of it', async (_what, ask) => {
  const { server, store, dispatcher, vendor } = await phone();
  const form = new URLSearchParams({ MessageSid: 'SM1', From: FAMILY, To: OURS, Body: 'hello' });
  expect((await ask(`${server.url}/api/sms`, form)).status).toBe(403);
  await dispatcher.run();
  expect(vendor.sent).toEqual([]);
  expect(await store.outbox.counts()).toEqual([]);
});

it('refuses a signature by another token, and a form that is no message', async () => {
  const { text } = await phone();
  expect((await text('hello', { sign: 'another token of the vendor' })).status).toBe(403);
  expect((await text('hello', { From: 'nobody' })).status).toBe(400);
  expect((await text('hello', { MessageSid: '' })).status).toBe(400);
});

it('a request that is sent again later brings its sender nothing, and the family neither', async () => {
  const { text } = await phone();
  await text('hello', { MessageSid: 'SM1' });
  const again = await text('hello', { MessageSid: 'SM1' });
  expect([again.body, again.sent]).toEqual(['<?xml version="1.0" encoding="UTF-8"?><Response></Response>', []]);
});

it.each(['STOP', ' stop. ', 'Unsubscribe', 'BAJA', 'Arrêt', 'СТОП', '停止', 'توقف', 'TIGIL'])(
  'sends nothing more after %s but that it stopped, until START',
  async (word) => {
    const { text, person, conversation, store, dispatcher, vendor } = await phone();
    for (const said of ['hello', 'English', 'yes', 'person', 'skip']) await text(said);
    const stopped = await text(word);
    expect(stopped.answers).toEqual([expect.stringMatching(/no more texts.*START/)]);
    expect((await text('are you there?')).body).not.toContain('Message');
    await person.write(await conversation(), { id: 't:free:1', text: 'Here I am.' });
    await dispatcher.run();
    expect(vendor.sent).toEqual([]);
    expect(await store.outbox.counts()).toContainEqual({ destination: 'caregiver', state: 'failed', count: 1 });
    const thread = await store.conversations.thread(await conversation(), 0);
    expect(thread.some(({ from, text: line }) => from === 'service' && line.includes('START'))).toBe(true);
    const started = await text('START');
    expect(started.answers[0]).toMatch(/again/);
    await person.write(await conversation(), { id: 't:free:2', text: 'Here again.' });
    await dispatcher.run();
    expect(vendor.sent.map(({ body }) => body)).toEqual(['Here again.']);
  },
);

it('stays stopped past deletion, and takes a yes for START only then', async () => {
  const { text } = await phone();
  await text('stop');
  expect((await text('hello')).sent).toEqual([]);
  expect((await text('yes')).answers[0]).toMatch(/again/);
  expect((await text('hello')).sent.length).toBeGreaterThan(0);
});

it('explains itself at HELP with an address, an emergency line and the way to stop, also when stopped', async () => {
  const { text } = await phone();
  const help = /Emergency\?.*https:\/\/seats\.example\.org.*STOP/;
  expect((await text('HELP')).answers).toEqual([expect.stringMatching(help)]);
  await text('stop');
  expect((await text('help')).answers).toEqual([expect.stringMatching(help)]);
});

it('gives its own help for the question on the screen too, and speaks the language of the word', async () => {
  const { text } = await phone();
  for (const said of ['hello', 'English', 'yes']) await text(said);
  const helped = await text('Help');
  expect(helped.answers).toHaveLength(1);
  expect(helped.lines).toMatch(/How many children/);
  expect((await text('INFO')).sent).toEqual([]);
  expect((await text('baja', { From: '+15005550008' })).answers[0]).toMatch(/START para seguir/);
});

it("does not answer twice what the carrier's side has answered, and still stops", async () => {
  const { text } = await phone();
  await text('hello');
  expect((await text('STOP', { OptOutType: 'STOP' })).answers).toEqual([]);
  expect((await text('English')).sent).toEqual([]);
});

it('fetches pictures from the vendor with the account, and from nowhere else, once', async () => {
  const { text, vendor, read, store, conversation } = await phone();
  await text('English');
  await text('yes');
  const there = { NumMedia: '2', MediaUrl0: `${vendor.url}/media/1`, MediaUrl1: 'http://169.254.169.254/latest' };
  const first = await text('', { ...there, MessageSid: 'SMphoto' });
  expect(first.lines).toMatch(/keep this photo for your technician/);
  await text('', { ...there, MessageSid: 'SMphoto' });
  expect(vendor.fetched).toEqual([
    { path: '/media/1', authorization: `Basic ${Buffer.from(`AC1:${TOKEN}`).toString('base64')}` },
  ]);
  expect(read).toEqual(['a picture']);
  expect(await store.photos.count(await conversation())).toBe(1);
});

it('says kindly that pictures cannot be read, and answers the words beside them', async () => {
  const { text } = await phone();
  await text('hello');
  const alone = await text('', { NumMedia: '1', MediaUrl0: 'https://vendor.example/x' });
  expect(alone.lines).toMatch(/cannot read pictures/);
  const beside = await text('English', { NumMedia: '1' });
  expect(beside.lines).toMatch(/cannot read pictures[\s\S]*\?/);
});

it('says goodbye in the answer when a family has its data deleted, and forgets its number', async () => {
  const { text, store } = await phone();
  for (const said of ['hello', 'English', 'yes', 'delete my data']) await text(said);
  const gone = await text('yes');
  expect(gone.answers.length).toBeGreaterThan(0);
  expect(gone.sent).toEqual([]);
  const id = conversationIds('a test secret that is long enough for anyone', [])(FAMILY, OURS)[0];
  expect(await store.conversations.load(id)).toMatchObject({ state: 'deleted', channelAddress: null });
  expect(id).not.toContain(FAMILY.slice(1));
});

it('goes on where it failed, sending no part of a line twice, and gives up a number that cannot be written to', async () => {
  const { text, vendor, dispatcher, pass, person, conversation, store } = await phone();
  for (const said of ['hello', 'English', 'yes', 'person', 'skip']) await text(said);
  vendor.answer(503);
  await person.write(await conversation(), { id: 't:free:1', text: 'x '.repeat(150) });
  await dispatcher.run();
  vendor.answer(201);
  pass(5_000);
  await dispatcher.run();
  expect(vendor.sent.splice(0)).toHaveLength(2);
  vendor.answer(400);
  await person.write(await conversation(), { id: 't:free:2', text: 'again' });
  await dispatcher.run();
  expect(await store.outbox.counts()).toContainEqual({ destination: 'caregiver', state: 'failed', count: 1 });
});

it('writes no number, and no word, into the log', async () => {
  const { text, vendor, log } = await phone();
  await text('hello');
  vendor.answer(500);
  await text('call me at 555 010 4477');
  await text('hello', { sign: 'another token of the vendor' });
  expect(log()).toMatch(/answered 500/);
  expect(log()).not.toMatch(/5550006|5550010|010 4477|sms-/);
});

it('limits the messages of one number, and not of another', async () => {
  const { text } = await phone(3);
  for (const said of ['hello', 'English', 'yes']) expect((await text(said)).status).toBe(200);
  expect((await text('one more')).status).toBe(429);
  expect((await text('hello', { From: '+15005550007' })).status).toBe(200);
});
