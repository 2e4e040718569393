import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { openStore } from '#src/store/open-store.ts';
import { aSummary } from '../factories/summary.ts';
import { aReply, aTurn } from '../factories/turn.ts';
import { aDataDir, DATABASES, NOON, openOn } from './places.ts';

const SECRET = 'quillwort';
const told = aTurn({
  incoming: { activityId: 'a1', text: `call her ${SECRET}` },
  snapshot: { name: SECRET },
  reply: aReply(`How old is ${SECRET}?`),
  summary: aSummary({ notes: SECRET }),
  effects: [{ kind: 'summary', idempotencyKey: 'e1', payload: { name: SECRET } }],
});
const deletion = aTurn({
  expectedVersion: 1,
  state: 'deleted',
  snapshot: null,
  incoming: { activityId: 'a2', text: `yes, delete ${SECRET}` },
  reply: { ...aReply('It is deleted.'), asking: null, done: true },
  replyId: 'r2',
  summary: null,
});

describe.each(DATABASES)('on %s', (_name, aPlace) => {
  it('reaches the thread, the case, the snapshot and what waits to be sent', async () => {
    const store = await openOn(await aPlace());
    await store.conversations.commit(told);
    expect((await store.cases.byReference('KV7-2QM')).state).toBe('found');
    expect(await store.conversations.commit(deletion)).toBe('committed');
    expect(await store.cases.byReference('KV7-2QM')).toEqual({ state: 'missing' });
    expect(await store.conversations.load('k1')).toMatchObject({ state: 'deleted', version: 2, snapshot: null });
    expect(await store.outbox.due('2027-01-01T00:00:00.000Z', 10)).toEqual([]);
    const lines = await store.conversations.thread('k1', 0);
    expect(lines.map(({ seq, text }) => [seq, text])).toEqual([[4, 'It is deleted.']]);
  });

  it('leaves the reply for deliveries that are repeated', async () => {
    const { conversations } = await openOn(await aPlace());
    await conversations.commit(told);
    await conversations.commit(deletion);
    const last = { replyId: 'r2', reply: deletion.reply };
    expect(await conversations.replyTo('k1', 'a2')).toEqual(last);
    expect(await conversations.replyTo('k1', 'a1')).toEqual(last);
    expect(await conversations.lastReply('k1')).toEqual(last);
  });
});

it('leaves nothing of what was said in the files, neither while they are open nor after', async () => {
  const dataDir = aDataDir();
  const store = await openStore({ dataDir, clock: () => NOON });
  await store.conversations.commit(told);
  const held = () => readdirSync(dataDir).some((file) => readFileSync(join(dataDir, file)).includes(SECRET));
  expect(held()).toBe(true);
  await store.conversations.commit(deletion);
  expect(held()).toBe(false);
  await store.close();
  expect(held()).toBe(false);
});
