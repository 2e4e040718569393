import { describe, expect, it, onTestFinished } from 'vitest';
import { demoEvent } from '#src/demo/demo-event.ts';
import { createReadTimes } from '#src/events/event-times.ts';
import { createEars } from '#src/locales/ears.ts';
import type { NewEvent } from '#src/store/events.ts';
import { openStore } from '#src/store/open-store.ts';
import type { TurnCommit } from '#src/store/store.ts';
import { createTurns } from '#src/turns/turns.ts';
import { createVoice } from '#src/words/voice.ts';
import { createWords } from '#src/words/words.ts';

const ears = createEars();
const voice = createVoice(createWords());
const NOW = new Date('2026-05-16T09:00:00Z');

const ANSWERS: Readonly<Record<string, string>> = {
  consent: 'yes',
  'child-count': '1',
  age: '2014-01-05',
  weight: '90 lb',
  height: '150 cm',
  'riding-mode': 'seat-belt',
  confirm: 'yes',
  review: 'yes',
};

/** Two technicians, one slot. */
const SHORT: NewEvent = {
  ...demoEvent(NOW),
  hours: { opensAt: '09:00', closesAt: '09:30', stepMinutes: 30, technicians: 2 },
};

/** A service with the demo event and as many families as are asked for. */
async function service(event: NewEvent = demoEvent(NOW), time = { now: NOW }) {
  const clock = () => time.now;
  const store = await openStore({ dataDir: ':memory:', clock });
  onTestFinished(() => store.close());
  await store.events.add(event);
  const commits: TurnCommit[] = [];
  let ids = 0;
  const links = {
    linkOf: (id: string) => `https://x.example/calendar/${id}`,
    hashFor: (id: string) => `h-${id}`,
    hashOf: String,
  };
  const turns = createTurns({
    conversations: {
      ...store.conversations,
      commit: async (turn) => {
        const result = await store.conversations.commit(turn);
        if (result === 'committed') commits.push(turn);
        return result;
      },
    },
    voice,
    ears,
    clock,
    newReference: () => `REF-${++ids}`,
    newId: () => `bot-${++ids}`,
    eventTimes: { read: createReadTimes({ store, clock, links }), linkHash: links.hashFor },
  });
  const family = (conversationId: string) => {
    const opening = { conversationId, channel: 'direct-line', language: 'en', eventId: 'demo' } as const;
    let sent = 0;
    const self = {
      say: async (text: string) =>
        (await turns.handle({ ...opening, activityId: `${conversationId}-${++sent}`, text })).reply,
      /** Answers all that is asked up to a question, or to the end. */
      until: async (asking: string | null) => {
        let { reply } = await turns.open(opening);
        for (let turn = 0; reply.asking !== asking && turn < 40; turn++)
          reply = await self.say(
            ANSWERS[reply.asking ?? ''] ?? (reply.choices.some(({ id }) => id === 'unsure') ? 'unsure' : '1'),
          );
        expect(reply.asking).toBe(asking);
        return reply;
      },
    };
    return self;
  };
  return { store, commits, family, time };
}

describe('a family that books', () => {
  it('has its summary sent once, before it chooses, and its time kept with the turn', async () => {
    const { store, commits, family } = await service();
    const one = family('k1');
    await one.until('slot');
    expect(commits.at(-1)).toMatchObject({ state: 'sent', summary: { complete: true } });
    expect(await store.arrivals.of('k1')).toBeNull();
    const reply = await one.say('1');
    expect(reply).toMatchObject({ done: true, asking: null });
    expect(reply.say.join(' ')).toContain('https://x.example/calendar/k1');
    expect(await store.arrivals.of('k1')).toMatchObject({
      state: 'booked',
      stay: { start: '2026-05-19T16:00:00.000Z' },
    });
    expect(await store.arrivals.linked('h-k1')).not.toBeNull();
    expect(commits.flatMap(({ effects }) => effects.filter(({ kind }) => kind === 'summary'))).toHaveLength(1);
  });

  it('is told that others were faster, offered what is left, and loses nothing', async () => {
    const { store, family } = await service(SHORT);
    const families = ['k1', 'k2', 'k3', 'k4'].map(family);
    for (const one of families) await one.until('slot');
    const replies = await Promise.all(families.map((one) => one.say('1')));
    const taken = await store.arrivals.taken('demo');
    expect(taken).toHaveLength(2);
    const late = replies.filter(({ say }) => say[0] === 'Sorry, that time is not free.');
    expect(late).toHaveLength(2);
    for (const { asking, choices, say } of late) {
      // Nothing is left in this event, so it is said and the family is done.
      expect(asking).toBe('slot');
      expect(choices.map(({ id }) => id)).toEqual(['none', 'later']);
      expect(say.join(' ')).not.toContain('9:00');
    }
    for (const id of ['k1', 'k2', 'k3', 'k4']) expect((await store.conversations.load(id))?.state).toBe('sent');
  });

  it('who deletes its data makes room for another', async () => {
    const { store, family } = await service(SHORT);
    const [first, second, third] = [family('k1'), family('k2'), family('k3')];
    for (const one of [first, second]) {
      await one.until('slot');
      await one.say('1');
    }
    expect((await third.until(null)).say.join(' ')).toContain('No time is free now');
    for (const text of ['delete', 'yes']) await first.say(text);
    expect(await store.arrivals.taken('demo')).toHaveLength(1);
    expect((await third.say('choose a time')).asking).toBe('slot');
    expect((await third.say('9:00')).done).toBe(true);
    expect(await store.arrivals.taken('demo')).toHaveLength(2);
  });

  it('is offered times to come only, and none once the event is over or the family is there', async () => {
    const { store, family, time } = await service();
    time.now = new Date('2026-05-19T17:10:00Z');
    const one = family('k1');
    const { choices } = await one.until('slot');
    expect(choices[0]?.text).toBe('10:15 AM');
    await one.say('1');
    const id = (await store.arrivals.list('demo', { pageSize: 1, page: 0 })).arrivals[0]?.id ?? '';
    await store.arrivals.mark('demo', id, 'booked', 'arrived');
    expect((await one.say('change my time')).choices.map(({ id }) => id)).toEqual(['another-car']);
    time.now = new Date('2026-05-19T20:00:00Z');
    expect((await family('k2').until(null)).say.join(' ')).not.toContain('time is free');
  });

  it('of an event without hours is asked nothing', async () => {
    const { family } = await service({ ...demoEvent(NOW), hours: null });
    expect((await family('k1').until(null)).choices.map(({ id }) => id)).toEqual(['another-car']);
  });
});
