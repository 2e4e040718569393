import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import fc from 'fast-check';
import { describe, expect, it, onTestFinished, vi } from 'vitest';
import type { ConversationStore } from '#src/store/store.ts';
import { StoreUnavailableError } from '#src/store/store-error.ts';
import { aReply, aTurn } from '../factories/turn.ts';
import { aDataDir, aStore } from './places.ts';

const turn = (conversation: string, version: number, name: string) =>
  aTurn({
    conversationId: conversation,
    expectedVersion: version,
    incoming: { activityId: name, text: `said in ${name}` },
    reply: aReply(`answer to ${name}`),
    replyId: `reply to ${name}`,
  });

/** What another process would see: only what is committed. */
function onlooker(dataDir: string) {
  const database = new DatabaseSync(join(dataDir, 'lapwing.db'), { readOnly: true });
  onTestFinished(() => database.close());
  return (conversation: string) =>
    database
      .prepare(`select id from thread where conversation_id = ? and sender = 'caregiver' order by seq`)
      .all(conversation)
      .map(({ id }) => String(id));
}

const realExec = DatabaseSync.prototype.exec;

const commits = () => {
  const exec = vi.spyOn(DatabaseSync.prototype, 'exec');
  onTestFinished(() => exec.mockRestore());
  return { exec, count: () => exec.mock.calls.filter(([sql]) => sql === 'commit').length };
};

const full = () => Object.assign(new Error('database or disk is full'), { code: 'ERR_SQLITE_ERROR', errcode: 13 });

describe('turns that come together', () => {
  it('wait for the disk once', async () => {
    const dataDir = aDataDir();
    const { conversations } = await aStore(dataDir);
    const { count } = commits();
    const names = Array.from({ length: 12 }, (_, i) => `k${i}`);
    const ends = await Promise.all(names.map((name) => conversations.commit(turn(name, 0, `m of ${name}`))));
    expect(new Set(ends)).toEqual(new Set(['committed']));
    expect(count()).toBe(1);
    const seen = onlooker(dataDir);
    for (const name of names) expect(seen(name)).toEqual([`m of ${name}`]);
  });

  it('are in the database when they are told so, and nobody reads them before', async () => {
    const dataDir = aDataDir();
    const { conversations } = await aStore(dataDir);
    const seen = onlooker(dataDir);
    let ended = 0;
    const names = ['k1', 'k2', 'k3'];
    const all = names.map(async (name) => {
      await conversations.commit(turn(name, 0, name));
      expect(seen(name)).toEqual([name]);
      ended++;
    });
    let looks = 0;
    while (ended < names.length) {
      for (const name of names) if (await conversations.load(name)) expect(seen(name)).toEqual([name]);
      looks++;
      await new Promise<void>((resolve) => setImmediate(resolve));
    }
    await Promise.all(all);
    expect(looks).toBeGreaterThan(0);
  });

  it('are all told when the disk refuses the commit, nothing of them is kept, and the next goes on', async () => {
    const dataDir = aDataDir();
    const { conversations } = await aStore(dataDir);
    const { exec } = commits();
    let refusals = 1;
    exec.mockImplementation(function (this: DatabaseSync, sql: string) {
      if (sql === 'commit' && refusals-- > 0) throw full();
      return realExec.call(this, sql);
    });
    const ends = await Promise.allSettled(['k1', 'k2'].map((name) => conversations.commit(turn(name, 0, name))));
    for (const end of ends) expect(end).toMatchObject({ reason: expect.any(StoreUnavailableError) });
    expect(await conversations.load('k1')).toBeNull();
    expect(await conversations.commit(turn('k1', 0, 'k1'))).toBe('committed');
    expect(onlooker(dataDir)('k1')).toEqual(['k1']);
  });
});

interface Wanted {
  readonly conversation: string;
  readonly version: number;
}

/** Commits some turns at once, in this order, and gives what each was told. */
const together = (conversations: ConversationStore, wanted: readonly Wanted[], round: number) =>
  Promise.all(
    wanted.map(async ({ conversation, version }, i) => {
      const name = `${round}.${i}`;
      return { conversation, name, end: await conversations.commit(turn(conversation, version, name)) };
    }),
  );

it('keeps each turn whole and in order, and one that came too late takes nothing of the others with it', async () => {
  const dataDir = aDataDir();
  const { conversations } = await aStore(dataDir);
  const seen = onlooker(dataDir);
  const family = fc.constantFrom('a', 'b', 'c');
  let run = 0;
  await fc.assert(
    fc.asyncProperty(
      fc.array(
        fc.array(fc.record({ conversation: family, version: fc.integer({ min: 0, max: 4 }) }), { maxLength: 8 }),
        {
          maxLength: 4,
        },
      ),
      async (rounds) => {
        run++;
        const kept = new Map<string, string[]>();
        for (const [round, wanted] of rounds.entries()) {
          const named = wanted.map((each) => ({ ...each, conversation: `${run}${each.conversation}` }));
          const expected = named.map(({ conversation, version }, i) => {
            const before = kept.get(conversation) ?? [];
            const fits = before.length === version;
            if (fits) kept.set(conversation, [...before, `${round}.${i}`]);
            return fits ? 'committed' : 'stale';
          });
          expect((await together(conversations, named, round)).map(({ end }) => end)).toEqual(expected);
        }
        for (const [conversation, names] of kept) {
          expect(seen(conversation)).toEqual(names);
          expect((await conversations.load(conversation))?.version).toBe(names.length);
        }
      },
    ),
    { numRuns: 40, seed: 20260516 },
  );
});
