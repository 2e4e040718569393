// The connector service is the one of the Bot Framework's REST reference
// (learn.microsoft.com/azure/bot-service/rest-api/bot-framework-rest-connector-api-reference), run here.
import { expect, it, onTestFinished } from 'vitest';
import { botFrameworkWriteTo, createProactive } from '#src/channels/bot-framework/write-to.ts';
import { caregiver } from '#src/handoff/caregiver.ts';
import { createDispatcher } from '#src/handoff/dispatcher.ts';
import { createEars } from '#src/locales/ears.ts';
import { createLog } from '#src/log.ts';
import { openStore } from '#src/store/open-store.ts';
import { tellCaregiver } from '#src/turns/caregiver-message.ts';
import { createPersonTurns } from '#src/turns/person-turns.ts';
import { newReference } from '#src/turns/reference.ts';
import { createTurns } from '#src/turns/turns.ts';
import { createVoice } from '#src/words/voice.ts';
import { createWords } from '#src/words/words.ts';
import { fakeConnector } from '../../support/fake-connector.ts';
import { fakeConversations } from '../../support/fake-conversations.ts';
import { startServer } from '../../support/start-server.ts';

/** The real conversation on a channel whose connector service runs here, and the dispatcher that writes out of turn. */
async function channel() {
  let now = Date.parse('2026-05-16T09:00:00Z');
  const clock = () => new Date(now);
  const store = await openStore({ dataDir: ':memory:', clock });
  const voice = createVoice(createWords());
  let ids = 0;
  const newId = () => `b${++ids}`;
  const { conversations } = store;
  const turns = createTurns({ conversations, voice, ears: createEars(), clock, newReference, newId });
  const server = await startServer({ conversations: { ...fakeConversations(), turns, store: conversations } });
  const connector = await fakeConnector();
  const logLines: string[] = [];
  const log = createLog('info', { write: (line) => logLines.push(line) });
  const dispatcher = createDispatcher({
    outbox: store.outbox,
    destinations: {},
    caregiver: caregiver({
      conversations,
      clock,
      channels: { 'bot-framework': botFrameworkWriteTo(createProactive(null, log), () => []) },
    }),
    clock,
    random: () => 1,
    log,
  });
  onTestFinished(async () => {
    await dispatcher.stop();
    await server.stop();
    connector.close();
    await store.close();
  });
  const send = async (text: string, extra: object = {}) => {
    const activity = {
      type: 'message',
      id: `a${++ids}`,
      channelId: 'msteams',
      serviceUrl: connector.url,
      conversation: { id: '19:abc@thread' },
      from: { id: 'u1', name: 'Wren Example' },
      recipient: { id: 'bot' },
      locale: 'en-US',
      text,
      ...extra,
    };
    const headers = { 'Content-Type': 'application/json' };
    const response = await fetch(`${server.url}/api/messages`, {
      method: 'POST',
      headers,
      body: JSON.stringify(activity),
    });
    expect(response.status).toBe(200);
  };
  const conversation = async () => {
    const [first] = (await store.cases.list({ pageSize: 5 })).cases;
    const found = await store.cases.byReference(first?.reference ?? '');
    return found.state === 'found' ? found.conversationId : '';
  };
  /** What was posted since the last look. */
  const posted = () => connector.posted.splice(0).map(({ activity }) => activity.text ?? activity.type);
  return {
    send,
    conversation,
    posted,
    connector,
    store,
    dispatcher,
    logLines,
    person: createPersonTurns({ store, voice, clock, newId }),
    pass: (ms: number) => {
      now += ms;
    },
  };
}

async function withPerson() {
  const all = await channel();
  for (const text of ['hello', 'yes', 'person', 'skip']) await all.send(text);
  all.posted();
  return { ...all, id: await all.conversation() };
}

it("carries a technician's lines into the conversation at once, in their order, and not again with the next answer", async () => {
  const { send, posted, connector, dispatcher, person, id } = await withPerson();
  dispatcher.start();
  await person.write(id, { id: 't:free:1', text: 'Here I am.' });
  await person.write(id, { id: 't:free:2', text: 'What <b>seat</b> is it?' });
  await person.write(id, { id: 't:free:2', text: 'What <b>seat</b> is it?' });
  await connector.until(2);
  expect(connector.posted.map(({ path }) => path)).toEqual(
    Array(2).fill('/v3/conversations/19%3Aabc%40thread/activities'),
  );
  expect(posted()).toEqual(['Here I am.', 'What <b>seat</b> is it?']);
  await send('thanks');
  expect(posted()).toEqual([]);
});

it('carries the next question, with its answers, when the bot takes over again', async () => {
  const { connector, dispatcher, person, id } = await withPerson();
  await person.handBack(id);
  await dispatcher.run();
  expect(connector.posted).toHaveLength(1);
  expect(connector.posted[0]?.activity.text).toMatch(/\?/);
});

it('writes a message of the service into the thread once, however often the channel fails', async () => {
  const { connector, posted, dispatcher, store, logLines, pass, id } = await withPerson();
  const effect = tellCaregiver({ conversationId: id, text: 'Your visit is tomorrow at 10.' }, 'reminder:1');
  const at = '2026-05-16T09:00:00.000Z';
  expect(await store.outbox.add(id, effect, at)).toBe(true);
  expect(await store.outbox.add(id, effect, at)).toBe(true);
  connector.answer(501);
  await dispatcher.run();
  expect(posted().length).toBeGreaterThan(0);
  connector.answer(200);
  pass(60_000);
  await dispatcher.run();
  expect(posted()).toEqual(['Your visit is tomorrow at 10.']);
  const lines = (await store.conversations.thread(id, 0)).filter(({ text }) => text.includes('tomorrow'));
  expect(lines.map(({ from }) => from)).toEqual(['service']);
  expect(logLines.join('')).toContain('answered 501');
  expect(logLines.join('')).not.toMatch(/tomorrow|Wren|thread/);
});

it('gives up at once where the channel has no such conversation any more', async () => {
  const { connector, dispatcher, store, person, id } = await withPerson();
  connector.answer(404);
  await person.write(id, { id: 't:free:1', text: 'Here I am.' });
  await dispatcher.run();
  expect(await store.outbox.counts()).toContainEqual({ destination: 'caregiver', state: 'failed', count: 1 });
});

it('keeps no name in the address, and forgets it with the conversation', async () => {
  const { send, store, dispatcher, posted, id } = await withPerson();
  const kept = (await store.conversations.load(id))?.channelAddress ?? '';
  expect(JSON.parse(kept)).toMatchObject({ channelId: 'msteams', conversation: { id: '19:abc@thread' } });
  expect(kept).not.toContain('Wren');
  await send('delete my data');
  await send('yes');
  posted();
  expect((await store.conversations.load(id))?.channelAddress).toBeNull();
  const effect = tellCaregiver({ conversationId: id, text: 'late' }, 'late');
  expect(await store.outbox.add(id, effect, '2026-05-16T09:00:00.000Z')).toBe(false);
  await dispatcher.run();
  expect(posted()).toEqual([]);
});

it('sends nothing off this machine without a registration, whatever address was stored', async () => {
  const { store, dispatcher, person, id, connector } = await withPerson();
  const away = JSON.stringify({
    channelId: 'msteams',
    serviceUrl: 'https://smba.example.com',
    conversation: { id: 'c' },
    bot: { id: 'b' },
  });
  const stored = await store.conversations.load(id);
  if (!stored) throw new Error('no conversation');
  const { replyId: _id, reply } = (await store.conversations.lastReply(id)) ?? { reply: null };
  if (!reply) throw new Error('no reply');
  await store.conversations.commit({
    conversationId: id,
    channel: 'bot-framework',
    eventId: null,
    language: 'en',
    state: 'person',
    expectedVersion: stored.version,
    snapshot: stored.snapshot,
    incoming: null,
    reply,
    replyId: 'again',
    summary: null,
    earlier: [],
    effects: [],
    channelAddress: away,
    at: '2026-05-16T09:00:00.000Z',
  });
  await person.write(id, { id: 't:free:1', text: 'Here I am.' });
  await dispatcher.run();
  expect(connector.posted).toEqual([]);
  expect(await store.outbox.counts()).toContainEqual({ destination: 'caregiver', state: 'failed', count: 1 });
});
