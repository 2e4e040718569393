import { describe, expect, it } from 'vitest';
import { aSummary } from '../factories/summary.ts';
import { aReply, aTurn } from '../factories/turn.ts';
import { DATABASES, openOn } from './places.ts';

const greeting = aTurn({ incoming: null, reply: aReply('Hello'), replyId: 'r0' });
const first = aTurn({ expectedVersion: 1 });

describe.each(DATABASES)('on %s', (_name, aPlace) => {
  describe('a committed turn', () => {
    it('is there for the next one, with the version moved on', async () => {
      const { conversations } = await openOn(await aPlace());
      expect(await conversations.load('k1')).toBeNull();
      expect(await conversations.commit(greeting)).toBe('committed');
      expect(await conversations.commit(first)).toBe('committed');
      expect(await conversations.load('k1')).toEqual({
        id: 'k1',
        channel: 'direct-line',
        channelAddress: null,
        eventId: null,
        language: 'en',
        state: 'talking',
        version: 2,
        snapshot: { version: 1, value: 'children' },
        createdAt: '2026-05-16T09:30:00.000Z',
        updatedAt: '2026-05-16T09:30:00.000Z',
      });
    });

    it('leaves its lines in the thread, numbered from 1 without gaps', async () => {
      const { conversations } = await openOn(await aPlace());
      await conversations.commit(greeting);
      await conversations.commit(first);
      await conversations.commit(
        aTurn({ expectedVersion: 2, incoming: { activityId: 'a2', text: '31 lb' }, replyId: 'r2' }),
      );
      const lines = await conversations.thread('k1', 0);
      expect(lines.map(({ seq, id, from, replyTo }) => [seq, id, from, replyTo])).toEqual([
        [1, 'r0', 'bot', null],
        [2, 'a1', 'caregiver', null],
        [3, 'r1', 'bot', 'a1'],
        [4, 'a2', 'caregiver', null],
        [5, 'r2', 'bot', 'a2'],
      ]);
      expect(lines[0]?.reply).toEqual(aReply('Hello'));
      expect((await conversations.thread('k1', 3)).map(({ seq }) => seq)).toEqual([4, 5]);
    });

    it('gives its reply again when its activity is delivered again, and the last reply of all', async () => {
      const { conversations } = await openOn(await aPlace());
      await conversations.commit(greeting);
      await conversations.commit(first);
      expect(await conversations.replyTo('k1', 'a1')).toEqual({ replyId: 'r1', reply: first.reply });
      expect(await conversations.replyTo('k1', 'a2')).toBeNull();
      expect(await conversations.replyTo('k2', 'a1')).toBeNull();
      expect(await conversations.lastReply('k1')).toEqual({ replyId: 'r1', reply: first.reply });
      expect(await conversations.lastReply('k2')).toBeNull();
    });
  });

  describe('a turn that comes too late', () => {
    it.each([
      ['starts from an old version', aTurn({ incoming: { activityId: 'a9', text: 'late' }, replyId: 'r9' })],
      [
        'starts from a version not reached yet',
        aTurn({ expectedVersion: 7, incoming: { activityId: 'a9', text: 'early' }, replyId: 'r9' }),
      ],
      ['repeats an activity that is done', aTurn({ expectedVersion: 2, replyId: 'r9', summary: aSummary() })],
    ])('is stale and writes nothing when it %s', async (_, turn) => {
      const store = await openOn(await aPlace());
      await store.conversations.commit(greeting);
      await store.conversations.commit(first);
      const before = [await store.conversations.load('k1'), await store.conversations.thread('k1', 0)];
      const effects = [{ kind: 'summary', idempotencyKey: 'e1', payload: {} }] as const;
      expect(await store.conversations.commit({ ...turn, summary: aSummary(), effects })).toBe('stale');
      expect([await store.conversations.load('k1'), await store.conversations.thread('k1', 0)]).toEqual(before);
      expect((await store.cases.list({ pageSize: 10 })).total).toBe(0);
      expect(await store.outbox.due('2027-01-01T00:00:00.000Z', 10)).toEqual([]);
    });

    it('a failing turn writes nothing at all', async () => {
      const store = await openOn(await aPlace());
      await store.conversations.commit(greeting);
      const broken = aTurn({ expectedVersion: 1, replyId: 'r0', summary: aSummary() });
      await expect(store.conversations.commit(broken)).rejects.toThrow();
      expect((await store.conversations.load('k1'))?.version).toBe(1);
      expect(await store.conversations.replyTo('k1', 'a1')).toBeNull();
      expect(await store.conversations.thread('k1', 0)).toHaveLength(1);
    });
  });

  describe('two handles on one file', () => {
    it('commit exactly one of two turns that start from the same version', async () => {
      const place = await aPlace();
      const [one, two] = [await openOn(place), await openOn(place)];
      await one.conversations.commit(greeting);
      for (let version = 1; version <= 20; version++) {
        const turn = (who: string) =>
          aTurn({
            expectedVersion: version,
            incoming: { activityId: `${who}-${version}`, text: who },
            replyId: `reply-${who}-${version}`,
          });
        const outcomes = await Promise.all([
          one.conversations.commit(turn('one')),
          two.conversations.commit(turn('two')),
        ]);
        expect(outcomes.toSorted()).toEqual(['committed', 'stale']);
      }
      const lines = await two.conversations.thread('k1', 0);
      expect(lines.map(({ seq }) => seq)).toEqual(Array.from({ length: 41 }, (_, i) => i + 1));
    });

    it('do not get in the way of each other in different conversations', async () => {
      const place = await aPlace();
      const stores = [await openOn(place), await openOn(place)];
      const turns = Array.from({ length: 40 }, (_, i) =>
        stores[i % 2]?.conversations.commit(aTurn({ conversationId: `k${i}` })),
      );
      expect(new Set(await Promise.all(turns))).toEqual(new Set(['committed']));
    });

    it('make one conversation of two openings', async () => {
      const place = await aPlace();
      const [one, two] = [await openOn(place), await openOn(place)];
      const outcomes = await Promise.all([one.conversations.commit(greeting), two.conversations.commit(greeting)]);
      expect(outcomes.toSorted()).toEqual(['committed', 'stale']);
    });
  });

  describe('a line that belongs to no turn', () => {
    const said = { id: 'f1', from: 'service', text: 'I cannot read pictures yet.' } as const;
    const at = '2026-05-16T09:31:00.000Z';

    it('stands in the thread once, and the turn under way is not late for it', async () => {
      const { conversations } = await openOn(await aPlace());
      await conversations.commit(greeting);
      await conversations.note('k1', [{ id: 'c:p1', from: 'caregiver', text: 'label.jpg' }, said], at);
      await conversations.note('k1', [said], at);
      expect(await conversations.commit(first)).toBe('committed');
      const lines = await conversations.thread('k1', 1);
      expect(lines.map(({ seq, id, from, reply }) => [seq, id, from, reply])).toEqual([
        [2, 'c:p1', 'caregiver', null],
        [3, 'f1', 'service', null],
        [4, 'a1', 'caregiver', null],
        [5, 'r1', 'bot', first.reply],
      ]);
      expect(lines[1]?.at).toBe(at);
    });

    it('is not written where there is no conversation, or a deleted one', async () => {
      const { conversations } = await openOn(await aPlace());
      await conversations.note('k1', [said], at);
      await conversations.commit({ ...greeting, state: 'deleted', snapshot: null });
      await conversations.note('k1', [said], at);
      expect(await conversations.thread('k1', 0)).toHaveLength(1);
    });
  });

  describe('who watches', () => {
    it('hears of new lines, whichever handle wrote them, until they stop', async () => {
      const place = await aPlace();
      const [one, two] = [await openOn(place), await openOn(place)];
      // On SQLite another process's lines are found by looking.
      const writer = place.databaseUrl ? two : one;
      const heard: string[] = [];
      const stop = await new Promise<() => void>((resolve) => {
        const leave = one.conversations.watch((id) => {
          heard.push(id);
          resolve(leave);
        });
        void writer.conversations.commit(greeting);
      });
      stop();
      await one.conversations.commit(first);
      expect(heard).toEqual(['k1']);
    });
  });

  describe('work under a key', () => {
    it('is done alone, on whichever handle, also after work that failed', async () => {
      const place = await aPlace();
      const one = await openOn(place);
      const two = place.databaseUrl ? await openOn(place) : one;
      let inside = 0;
      let most = 0;
      const work = async () => {
        inside += 1;
        most = Math.max(most, inside);
        await one.ping();
        inside -= 1;
        return 'done';
      };
      await expect(one.alone('k', () => Promise.reject(new Error('no')))).rejects.toThrow('no');
      const all = Array.from({ length: 30 }, (_, i) => (i % 2 ? one : two).alone('k', work));
      expect(new Set(await Promise.all(all))).toEqual(new Set(['done']));
      expect(most).toBe(1);
    });

    it('does not keep work under other keys waiting, however many', async () => {
      const store = await openOn(await aPlace());
      let release = () => {};
      const held = store.alone('k', () => new Promise<void>((resolve) => (release = resolve)));
      const behind = Array.from({ length: 40 }, () => store.alone('k', async () => {}));
      await Promise.all(Array.from({ length: 40 }, (_, i) => store.alone(`other ${i}`, () => store.ping())));
      release();
      await Promise.all([held, ...behind]);
    });
  });
});
