import { afterEach, describe, expect, it } from 'vitest';
import { preVisitSummarySchema } from '#shared/summary.ts';
import { createEars } from '#src/locales/ears.ts';
import { openStore } from '#src/store/open-store.ts';
import type { Store, TurnCommit } from '#src/store/store.ts';
import { createTurns, ourLanguage } from '#src/turns/turns.ts';
import { createVoice } from '#src/words/voice.ts';
import { createWords } from '#src/words/words.ts';

const ears = createEars();
const voice = createVoice(createWords());
const clock = () => new Date('2026-05-16T09:00:00Z');

const opened: Store[] = [];
afterEach(async () => {
  for (const store of opened.splice(0)) await store.close();
});

/** A service in memory with one conversation, and all that it committed. */
async function service() {
  const store = await openStore({ dataDir: ':memory:', clock });
  opened.push(store);
  let ids = 0;
  const commits: TurnCommit[] = [];
  const damaged: { reason: string; kept: number }[] = [];
  const turns = createTurns({
    conversations: {
      ...store.conversations,
      commit: async (turn) => {
        const result = await store.conversations.commit(turn);
        if (result === 'committed') commits.push(turn);
        return result;
      },
    },
    cases: store.cases,
    onDamaged: (what) => damaged.push(what),
    voice,
    ears,
    clock,
    newReference: () => `REF-${++ids}`,
    newId: () => `bot-${++ids}`,
  });
  const opening = { conversationId: 'k1', channel: 'direct-line', language: 'en' } as const;
  let sent = 0;
  return {
    store,
    turns,
    opening,
    commits,
    damaged,
    say: (text: string, activityId = `a${++sent}`) => turns.handle({ ...opening, activityId, text }),
  };
}

describe('a turn', () => {
  it('opens with a greeting, and opening again gives the same greeting', async () => {
    const { turns, opening } = await service();
    const first = await turns.open(opening);
    const again = await turns.open(opening);
    expect(first.reply.asking).toBe('consent');
    expect(again).toEqual({ ...first, replayed: true });
  });

  it('delivered twice is answered with the same reply and changes nothing', async () => {
    const { say, store, commits } = await service();
    await say('yes', 'a1');
    const first = await say('2', 'a2');
    const again = await say('2', 'a2');
    expect(again).toEqual({ ...first, replayed: true });
    expect(commits).toHaveLength(3);
    expect((await store.conversations.load('k1'))?.version).toBe(3);
  });

  it('of ten sent at once all land, each once, in some order', async () => {
    const { say, commits, turns, opening } = await service();
    await turns.open(opening);
    await Promise.all(Array.from({ length: 10 }, (_, i) => say('help', `x${i}`)));
    expect(commits).toHaveLength(11);
    expect(new Set(commits.map(({ expectedVersion }) => expectedVersion)).size).toBe(11);
  });

  it('takes the words of a choice for the choice', async () => {
    const { say } = await service();
    await say('Yes, go ahead');
    for (const text of ['1', '8 months', '18 lb', '27 in', 'None of these']) await say(text);
    expect((await say("On someone's lap")).reply.told).toEqual(['unrestrained']);
  });
});

describe('what leaves the conversation', () => {
  it('is nothing before consent', async () => {
    const { say, commits } = await service();
    await say('my son is 4 and weighs 38 lb');
    expect(commits.every(({ summary }) => summary === null)).toBe(true);
  });

  it('is a summary that validates, from consent on', async () => {
    const { say, commits } = await service();
    for (const text of ['yes', '1', '26 months', '28 lb']) await say(text);
    const summary = preVisitSummarySchema.parse(commits.at(-1)?.summary);
    expect(summary).toMatchObject({ complete: false, person: false, language: 'en', channel: 'direct-line' });
    expect(summary.caregiverWords.map(({ asking }) => asking)).toEqual(['child-count', 'age', 'weight']);
  });

  it('is a call for a person, with an effect of its own', async () => {
    const { say, commits } = await service();
    for (const text of ['yes', 'I want to talk to a person', 'skip']) await say(text);
    expect(commits.at(-1)).toMatchObject({ state: 'person', summary: { person: true } });
    expect(commits.at(-1)?.effects.map(({ kind }) => kind)).toEqual(['person-wanted']);
  });

  it('is gone after "delete", and the next message starts anew', async () => {
    const { say, store, commits } = await service();
    for (const text of ['yes', '1', '26 months', 'delete my data', 'yes']) await say(text);
    expect(commits.at(-1)).toMatchObject({ state: 'deleted', summary: null });
    const kept = JSON.stringify([await store.conversations.load('k1'), await store.conversations.thread('k1', 0)]);
    expect(kept).not.toContain('26 months');
    expect((await say('hello')).reply.asking).toBe('consent');
  });
});

describe('a first message that the greeting goes out with', () => {
  it('is answered by the greeting alone where it only says hello, and heard where it says more', async () => {
    const { turns, opening, commits } = await service();
    const greeting = await turns.open(opening);
    const first = { ...opening, activityId: 'a1', text: 'good morning everybody', withGreeting: true };
    const hello = await turns.handle(first);
    expect(hello.reply).toEqual(greeting.reply);
    expect(await turns.handle(first)).toMatchObject({ reply: { say: greeting.reply.say }, replayed: true });
    expect(commits.at(-1)?.incoming?.text).toBe('good morning everybody');
    const other = { ...opening, conversationId: 'k2' };
    await turns.open(other);
    const crash = { ...other, activityId: 'a1', text: 'we just crashed and my baby is bleeding', withGreeting: true };
    expect((await turns.handle(crash)).reply.say[0]).toContain('911');
  });
});

describe('a snapshot that cannot be used', () => {
  it.each([
    ['corrupt', { nonsense: true }],
    ['of a newer version', { version: 999 }],
    ['null', null],
  ])('because it is %s costs the answers but not the conversation', async (_, snapshot) => {
    const { say, store, turns, opening, commits } = await service();
    await turns.open(opening);
    const before = commits[0] as TurnCommit;
    const broken = { ...before, snapshot, expectedVersion: 1, incoming: { activityId: 'b', text: 'b' }, replyId: 'b2' };
    await store.conversations.commit(broken);
    const { reply } = await say('yes');
    expect(reply.say[0]).toContain('lost our thread');
    expect(reply.asking).toBe('consent');
    expect((await say('yes')).reply.asking).toBe('child-count');
  });
});

describe('a conversation that was stored by another version', () => {
  it('goes on with its facts under its reference, keeps its case at the desk, and is told of', async () => {
    const { say, store, commits, damaged } = await service();
    for (const text of ['yes', '1', '26 months']) await say(text);
    const before = commits.at(-1) as TurnCommit;
    const reference = before.summary?.reference ?? '';
    const snapshot = { ...(before.snapshot as object), version: 999 };
    const again = { incoming: null, expectedVersion: before.expectedVersion + 1, replyId: 'b2' };
    await store.conversations.commit({ ...before, ...again, snapshot });
    const { reply } = await say('26 lb');
    expect(reply.say[0]).toContain('I kept what I could read');
    expect(commits.at(-1)?.summary).toMatchObject({ reference, case: { children: [{ ageMonths: 26 }] } });
    // Even where nothing of the conversation is left, the case is.
    const last = commits.at(-1) as TurnCommit;
    await store.conversations.commit({
      ...last,
      ...again,
      expectedVersion: last.expectedVersion + 1,
      replyId: 'b3',
      snapshot: null,
    });
    await say('hello');
    expect(commits.at(-1)?.summary).toMatchObject({ reference, case: { children: [{ ageMonths: 26 }] } });
    expect(damaged.map(({ reason, kept }) => [reason, kept > 0])).toEqual([
      ['newer', true],
      ['corrupt', true],
    ]);
  });
});

describe('a channel language', () => {
  it.each([
    ['en-GB', 'en'],
    ['zh-CN', 'zh-Hans'],
    ['pt', 'pt-BR'],
    ['ES', 'es'],
    ['de', null],
    ['', null],
    [undefined, null],
  ])('%s is taken as %s', (tag, ours) => {
    expect(ourLanguage(tag)).toBe(ours);
  });
});
