import { describe, expect, it } from 'vitest';
import { MOST_ATTEMPTS } from '#src/handoff/backoff.ts';
import { caregiver } from '#src/handoff/caregiver.ts';
import type { Message, Sent } from '#src/handoff/destination.ts';
import { createDispatcher } from '#src/handoff/dispatcher.ts';
import { createLog } from '#src/log.ts';
import type { Store } from '#src/store/store.ts';
import { tellCaregiver } from '#src/turns/caregiver-message.ts';
import { aSummary } from '../factories/summary.ts';
import { aTurn } from '../factories/turn.ts';
import { DATABASES, NOON, openOn } from './places.ts';

const effect = (key: string, payload: unknown = aSummary()) =>
  ({ kind: 'summary', idempotencyKey: key, payload }) as const;

/** A destination that answers as told, and what it was handed. */
function receiver(answer: (message: Message, time: number) => Sent = () => ({ ok: true })) {
  const heard: Message[] = [];
  const send = async (message: Message) => {
    heard.push(message);
    return answer(message, heard.length);
  };
  return { heard, send };
}

const again: Sent = { ok: false, why: 'answered 500', retry: true };

describe.each(DATABASES)('on %s', (_name, aPlace) => {
  async function open(place = aPlace()) {
    let now = NOON.getTime();
    const store = await openOn(await place, () => new Date(now));
    const logLines: string[] = [];
    const log = createLog('info', { write: (line) => logLines.push(line) });
    const dispatcher = (
      destinations: Parameters<typeof createDispatcher>[0]['destinations'],
      of: Store = store,
      toCaregiver?: ReturnType<typeof caregiver>,
    ) =>
      createDispatcher({
        outbox: of.outbox,
        destinations,
        ...(toCaregiver && { caregiver: toCaregiver }),
        clock: () => new Date(now),
        random: () => 1,
        log,
      });
    return {
      store,
      dispatcher,
      logLines,
      pass: (ms: number) => {
        now += ms;
      },
    };
  }

  it('each effect is handed once to each destination, under an id of its own', async () => {
    const { store, dispatcher } = await open();
    const [webhook, mail] = [receiver(), receiver()];
    await store.conversations.commit(aTurn({ effects: [effect('k1:1')] }));
    const { run } = dispatcher({ webhook: webhook.send, mail: mail.send });
    expect(await run()).toBe(2);
    expect(await run()).toBe(0);
    expect(webhook.heard).toMatchObject([{ kind: 'summary', summary: aSummary(), at: '2026-05-16T09:30:00.000Z' }]);
    expect(mail.heard).toHaveLength(1);
    expect(mail.heard[0]?.id).not.toBe(webhook.heard[0]?.id);
    const counts = (await store.outbox.counts()).toSorted((a, b) =>
      `${a.destination}`.localeCompare(`${b.destination}`),
    );
    expect(counts).toEqual([
      { destination: 'mail', state: 'done', count: 1 },
      { destination: null, state: 'done', count: 1 },
      { destination: 'webhook', state: 'done', count: 1 },
    ]);
  });

  it('one that fails is tried again later under the same id, and does not hold up the other', async () => {
    const { store, dispatcher, pass } = await open();
    const webhook = receiver((_message, time) => (time < 3 ? again : { ok: true }));
    const mail = receiver();
    await store.conversations.commit(aTurn({ effects: [effect('k1:1')] }));
    const { run } = dispatcher({ webhook: webhook.send, mail: mail.send });
    await run();
    pass(4_999);
    expect(await run()).toBe(0);
    pass(1);
    expect(await run()).toBe(1);
    pass(20_000);
    expect(await run()).toBe(1);
    pass(1e9);
    expect(await run()).toBe(0);
    expect(new Set(webhook.heard.map(({ id }) => id)).size).toBe(1);
    expect(webhook.heard).toHaveLength(3);
    expect(mail.heard).toHaveLength(1);
  });

  it('one that hangs holds up neither the other destinations nor the rest of its own', async () => {
    const { store, dispatcher } = await open();
    let answer: (sent: Sent) => void = () => {};
    let wake = () => {};
    const heard: string[] = [];
    const hearing = (name: string, hangs: boolean) => async (message: Message) => {
      heard.push(`${name}: ${message.at}`);
      wake();
      return hangs && heard.filter((line) => line.startsWith(name)).length === 1
        ? new Promise<Sent>((resolve) => {
            answer = resolve;
          })
        : ({ ok: true } as const);
    };
    const { start, stop } = dispatcher({ webhook: hearing('webhook', true), mail: hearing('mail', false) });
    const heardOf = async (count: number) => {
      while (heard.length < count)
        await new Promise<void>((resolve) => {
          wake = resolve;
        });
    };
    start();
    for (let i = 0; i < 30; i++) {
      await store.conversations.commit(aTurn({ conversationId: `k${i}`, effects: [effect(`k${i}:1`)] }));
      // All but the first webhook is heard while that one hangs.
      await heardOf(2 * (i + 1));
    }
    answer({ ok: true });
    await stop();
    expect(await store.outbox.counts()).toContainEqual({ destination: 'webhook', state: 'done', count: 30 });
  });

  it('waits at least as long as the receiver asks', async () => {
    const { store, dispatcher, pass } = await open();
    const webhook = receiver(() => ({ ...again, afterMs: 90_000 }));
    await store.conversations.commit(aTurn({ effects: [effect('k1:1')] }));
    const { run } = dispatcher({ webhook: webhook.send });
    await run();
    pass(89_999);
    expect(await run()).toBe(0);
    pass(1);
    expect(await run()).toBe(1);
  });

  it('what keeps failing is given up after its last try, kept, counted and logged without a word of the family', async () => {
    const { store, dispatcher, pass, logLines } = await open();
    const webhook = receiver(() => again);
    await store.conversations.commit(aTurn({ effects: [effect('k1:1')] }));
    const { run } = dispatcher({ webhook: webhook.send });
    for (let tries = 0; tries < MOST_ATTEMPTS + 5; tries++) {
      await run();
      pass(13 * 60 * 60 * 1000);
    }
    expect(webhook.heard).toHaveLength(MOST_ATTEMPTS);
    expect(await store.outbox.counts()).toContainEqual({ destination: 'webhook', state: 'failed', count: 1 });
    expect(logLines.join('')).toMatch(/handing on given up/);
    expect(logLines.join('')).not.toMatch(/Wren|KV7-2QM/);
  });

  it.each([
    ['a receiver says never again', { webhook: receiver(() => ({ ...again, retry: false })).send }, aSummary()],
    ['the summary cannot be read', { webhook: receiver().send }, { not: 'a summary' }],
  ])('gives up at once when %s', async (_what, destinations, payload) => {
    const { store, dispatcher } = await open();
    await store.conversations.commit(aTurn({ effects: [effect('k1:1', payload)] }));
    await dispatcher(destinations).run();
    expect(await store.outbox.counts()).toContainEqual({ destination: 'webhook', state: 'failed', count: 1 });
  });

  it('instances share the work: each delivery goes out once', async () => {
    const place = await aPlace();
    const { store, dispatcher } = await open(Promise.resolve(place));
    const other = await openOn(place);
    const webhook = receiver();
    for (let i = 0; i < 35; i++)
      await store.conversations.commit(aTurn({ conversationId: `k${i}`, effects: [effect(`k${i}:1`)] }));
    const tries = await Promise.all(
      [store, other, store, other].map((of) => dispatcher({ webhook: webhook.send }, of).run()),
    );
    expect(tries.reduce((sum, count) => sum + count, 0)).toBe(35);
    expect(new Set(webhook.heard.map(({ id }) => id)).size).toBe(35);
    expect(webhook.heard).toHaveLength(35);
  });

  it('a try that a dead process began is begun anew, and the late word of a slow one changes nothing', async () => {
    const { store, dispatcher, pass } = await open();
    await store.conversations.commit(aTurn({ effects: [effect('k1:1')] }));
    const at = (ms: number) => new Date(NOON.getTime() + ms).toISOString();
    await store.outbox.spread(['webhook'], at(0), 10);
    const [begun] = await store.outbox.claim(at(0), at(120_000), 10);
    expect(await store.outbox.claim(at(119_999), at(300_000), 10)).toEqual([]);
    pass(120_000);
    const webhook = receiver(() => again);
    await dispatcher({ webhook: webhook.send }).run();
    expect(webhook.heard).toHaveLength(1);
    if (!begun) throw new Error('nothing was claimed');
    await store.outbox.settle(begun, { kind: 'done' });
    expect(await store.outbox.counts()).toContainEqual({ destination: 'webhook', state: 'waiting', count: 1 });
  });

  it('what was put or paused by a clock that was ahead is due again once it is set back; what is meant for later is not', async () => {
    const { store, dispatcher, pass } = await open();
    const DAY_MS = 24 * 60 * 60 * 1000;
    const now = NOON.getTime();
    const put = (id: string, aheadMs: number, laterMs = 0) => {
      const at = new Date(now + aheadMs).toISOString();
      const dueAt = new Date(now + aheadMs + laterMs).toISOString();
      return store.conversations.commit(aTurn({ conversationId: id, at, effects: [{ ...effect(id), dueAt }] }));
    };
    await put('paused', 0);
    await put('put ahead', 9 * DAY_MS);
    await put('for later', 0, 9 * DAY_MS);
    pass(8 * DAY_MS);
    const first = receiver(() => again);
    await dispatcher({ webhook: first.send }).run();
    expect(first.heard).toHaveLength(1);
    pass(-8 * DAY_MS);
    const heard: string[] = [];
    let enough = () => {};
    const all = new Promise<void>((resolve) => {
      enough = resolve;
    });
    const { start, stop } = dispatcher({
      webhook: async ({ id }) => {
        heard.push(id);
        if (heard.length === 2) enough();
        return { ok: true };
      },
    });
    start();
    await all;
    await stop();
    expect(heard).toContain(first.heard[0]?.id);
    expect(await store.outbox.counts()).toContainEqual({ destination: null, state: 'waiting', count: 1 });
  });

  it('what a family has deleted is not handed on', async () => {
    const { store, dispatcher, pass } = await open();
    const webhook = receiver(() => again);
    await store.conversations.commit(aTurn({ effects: [effect('k1:1')] }));
    const { run } = dispatcher({ webhook: webhook.send });
    await run();
    const incoming = { activityId: 'a2', text: 'yes' };
    await store.conversations.commit(
      aTurn({ expectedVersion: 1, state: 'deleted', snapshot: null, incoming, replyId: 'r2' }),
    );
    pass(1e9);
    expect(await run()).toBe(0);
    expect(await store.outbox.counts()).toEqual([]);
  });

  it('without a destination nothing is kept waiting, nor its words', async () => {
    const place = await aPlace();
    const { store, dispatcher } = await open(Promise.resolve(place));
    await store.conversations.commit(aTurn({ effects: [effect('k1:1')] }));
    expect(await dispatcher({}).run()).toBe(0);
    expect(await store.outbox.counts()).toEqual([{ destination: null, state: 'done', count: 1 }]);
    await place.run("delete from outbox where payload = 'null'");
    expect(await store.outbox.counts()).toEqual([]);
  });

  describe('messages to a caregiver', () => {
    async function conversation(place = aPlace()) {
      const open_ = await open(place);
      await open_.store.conversations.commit(aTurn({ channel: 'sms', channelAddress: 'here' }));
      const sent: string[] = [];
      let answer: Sent = { ok: true };
      const { conversations, outbox } = open_.store;
      const deliver = caregiver({
        conversations,
        clock: () => NOON,
        channels: {
          sms: async (address, { text }) => {
            sent.push(`${address}: ${text}`);
            return answer;
          },
        },
      });
      const tell = (text: string, dueAt?: string) =>
        outbox.add('k1', tellCaregiver({ conversationId: 'k1', text }, text, dueAt), NOON.toISOString());
      return {
        ...open_,
        sent,
        tell,
        answers: (next: Sent) => {
          answer = next;
        },
        run: open_.dispatcher({}, open_.store, deliver).run,
        deliver,
      };
    }

    it('arrive in their order, one after the other, also where one fails for now', async () => {
      const { sent, tell, answers, run, pass } = await conversation();
      for (const text of ['one', 'two', 'three']) await tell(text);
      answers(again);
      await run();
      expect(sent.splice(0)).toHaveLength(1);
      answers({ ok: true });
      pass(5_000);
      await run();
      expect(sent.map((line) => line.slice(6))).toEqual(['one', 'two', 'three']);
    });

    it('are tried every ten minutes at the latest, for about a day', async () => {
      const { sent, tell, answers, run, pass, store } = await conversation();
      await tell('one');
      answers(again);
      let tries = 0;
      for (; sent.length === tries && tries < 200; tries++) {
        await run();
        pass(10 * 60 * 1000);
      }
      expect(sent).toHaveLength(150);
      expect(await store.outbox.counts()).toContainEqual({ destination: 'caregiver', state: 'failed', count: 1 });
    });

    it('stand in the thread once, after any number of tries and of instances', async () => {
      const place = await aPlace();
      const { sent, tell, run, store, deliver, dispatcher } = await conversation(Promise.resolve(place));
      const other = await openOn(place);
      await tell('one');
      await Promise.all([run(), dispatcher({}, other, deliver).run()]);
      const [row] = await store.conversations.thread('k1', 2);
      expect(row).toMatchObject({ from: 'service', text: 'one' });
      await deliver({ id: (row?.id ?? '').slice(2), payload: { conversationId: 'k1', text: 'one' } });
      expect(await store.conversations.thread('k1', 2)).toHaveLength(1);
      expect(sent).toEqual(['here: one', 'here: one']);
    });

    it('that are meant for later wait, and hold nothing up meanwhile', async () => {
      const { sent, tell, run, pass } = await conversation();
      await tell('reminder', new Date(NOON.getTime() + 60_000).toISOString());
      await tell('now');
      await run();
      expect(sent).toEqual(['here: now']);
      pass(60_000);
      await run();
      expect(sent).toEqual(['here: now', 'here: reminder']);
    });

    it('are refused for a conversation that is not there, and dropped with one that its family deleted', async () => {
      const { sent, tell, run, store } = await conversation();
      const message = { conversationId: 'none', text: 'x' };
      expect(await store.outbox.add('none', tellCaregiver(message, 'x'), NOON.toISOString())).toBe(false);
      await tell('one');
      await store.conversations.commit(aTurn({ expectedVersion: 1, state: 'deleted', incoming: null, replyId: 'bye' }));
      await run();
      expect(sent).toEqual([]);
      expect(await tell('two')).toBe(false);
    });
  });

  it('begins nothing after it was stopped', async () => {
    const { store, dispatcher } = await open();
    const webhook = receiver();
    await store.conversations.commit(aTurn({ effects: [effect('k1:1')] }));
    const { run, stop } = dispatcher({ webhook: webhook.send });
    await stop();
    expect(await run()).toBe(0);
    expect(webhook.heard).toEqual([]);
  });
});
