// The events are those of the Bot Framework's handoff protocol (learn.microsoft.com/azure/bot-service/
// bot-service-design-pattern-handoff-human, and EventFactory in the SDK's reference).
import { expect, it, onTestFinished } from 'vitest';
import { createEars } from '#src/locales/ears.ts';
import { openStore } from '#src/store/open-store.ts';
import { createPersonTurns } from '#src/turns/person-turns.ts';
import { newReference } from '#src/turns/reference.ts';
import { createTurns } from '#src/turns/turns.ts';
import { createVoice } from '#src/words/voice.ts';
import { createWords } from '#src/words/words.ts';
import { fakeConversations } from '../support/fake-conversations.ts';
import { startServer } from '../support/start-server.ts';

interface Sent {
  readonly type: string;
  readonly name?: string;
  readonly value?: unknown;
  readonly text?: string;
  readonly channelData?: { readonly lapwing?: { readonly asking: string | null } };
}

/** The real conversation behind the Bot Framework's endpoint, with replies in the answer. */
async function channel() {
  const clock = () => new Date('2026-05-16T09:00:00Z');
  const store = await openStore({ dataDir: ':memory:', clock });
  const voice = createVoice(createWords());
  let ids = 0;
  const newId = () => `b${++ids}`;
  const { conversations } = store;
  const turns = createTurns({ conversations, voice, ears: createEars(), clock, newReference, newId });
  const server = await startServer({ conversations: { ...fakeConversations(), turns, store: conversations } });
  onTestFinished(async () => {
    await server.stop();
    await store.close();
  });
  const send = async (extra: object): Promise<readonly Sent[]> => {
    const activity = {
      type: 'message',
      id: `a${++ids}`,
      channelId: 'emulator',
      deliveryMode: 'expectReplies',
      conversation: { id: 'c1' },
      from: { id: 'u1' },
      recipient: { id: 'bot' },
      locale: 'en-US',
      ...extra,
    };
    const response = await fetch(`${server.url}/api/messages`, {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify(activity),
    });
    return ((await response.json()) as { activities?: Sent[] }).activities ?? [];
  };
  const reference = async () => (await store.cases.list({ pageSize: 5 })).cases[0]?.reference ?? '';
  const idOf = async (name: string) => {
    const one = await store.cases.byReference(name);
    return one.state === 'found' ? one.conversationId : '';
  };
  return { send, reference, idOf, person: createPersonTurns({ store, voice, clock, newId }) };
}

const status = (state: string) => ({ type: 'event', name: 'handoff.status', value: { state } });

it('tells the channel once that a person is wanted, and goes on when the channel says that it is done', async () => {
  const { send, reference } = await channel();
  for (const text of ['hello', 'yes', 'person']) await send({ text });
  const events = (await send({ text: 'skip' })).filter(({ type }) => type === 'event');
  expect(events.map(({ name, value }) => ({ name, value }))).toEqual([
    { name: 'handoff.initiate', value: { reference: await reference() } },
  ]);
  expect((await send({ text: 'are you there?' })).filter(({ type }) => type === 'event')).toEqual([]);
  for (const state of ['accepted', 'failed', 'something else']) expect(await send(status(state))).toEqual([]);
  const [goesOn] = await send(status('completed'));
  expect(goesOn?.channelData?.lapwing?.asking).toBe('child-count');
  expect(await send(status('completed'))).toEqual([]);
});

it("brings a technician's lines with the answer to the next message, once, and is silent itself", async () => {
  const { send, reference, idOf, person } = await channel();
  for (const text of ['hello', 'yes', 'person', 'skip']) await send({ text });
  const id = await idOf(await reference());
  await person.write(id, { id: 't:free:1', text: 'Here I am.' });
  expect((await send({ text: 'thanks' })).map(({ text }) => text)).toEqual(['Here I am.']);
  expect(await send({ text: 'and now?' })).toEqual([]);
});
