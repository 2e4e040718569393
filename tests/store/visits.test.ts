import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { VisitBody } from '#shared/visit-record/entries.ts';
import { foldVisit } from '#shared/visit-record/fold.ts';
import { createFieldCipher } from '#src/protection/field-cipher.ts';
import type { NewVisitEntry } from '#src/store/visits.ts';
import { aSummary } from '../factories/summary.ts';
import { aTurn } from '../factories/turn.ts';
import { aDataDir, DATABASES, NOON, openOn } from './places.ts';

const SECRET = 'quillwort';
const REFERENCE = 'KV7-2QM';
const known = { reference: REFERENCE, conversationId: 'k1' };
const note = (text: string): VisitBody => ({ kind: 'note', text });
const signOff: VisitBody = { kind: 'sign-off', reported: aSummary().case };
const entry = (id: string, body: VisitBody, at = '2026-05-16T11:00:00.000Z'): NewVisitEntry => ({
  id,
  at,
  accountId: 'a1',
  by: 'Robin',
  body,
});
const told = aTurn({ summary: aSummary() });
const deletion = aTurn({
  expectedVersion: 1,
  state: 'deleted',
  snapshot: null,
  incoming: { activityId: 'a2', text: 'delete' },
  replyId: 'r2',
  summary: null,
});
const RUN_PAST = [
  `update visit_entries set entry = 'x'`,
  `update visit_entries set at = '2020-01-01T00:00:00.000Z'`,
  `delete from visit_entries`,
  `insert into visit_entries (reference, conversation_id, seq, id, kind, account_id, at, received_at, entry)
   values ('${REFERENCE}', 'k1', 99, 'z', 'change', 'a1', 'x', 'x', 'x')`,
];

describe.each(DATABASES)('visit entries on %s', (_name, aPlace) => {
  it('are kept in the order of arrival, once for each id', async () => {
    const { conversations, visits } = await openOn(await aPlace());
    await conversations.commit(told);
    expect(await visits.add(REFERENCE, entry('e1', note('one'), '2026-05-16T11:05:00.000Z'))).toBe('added');
    expect(await visits.add(REFERENCE, entry('e2', note('two')))).toBe('added');
    expect(await visits.add(REFERENCE, entry('e1', note('another')))).toBe('known');
    expect((await visits.of(REFERENCE)).map(({ seq, id, body }) => [seq, id, body])).toEqual([
      [1, 'e1', note('one')],
      [2, 'e2', note('two')],
    ]);
  });

  it('of two people at once are all kept, each under a place of its own', async () => {
    const { conversations, visits } = await openOn(await aPlace());
    await conversations.commit(told);
    const many = Array.from({ length: 20 }, (_, i) => visits.add(REFERENCE, entry(`e${i}`, note(String(i)))));
    expect(new Set(await Promise.all(many))).toEqual(new Set(['added']));
    expect((await visits.of(REFERENCE)).map(({ seq }) => seq)).toEqual(Array.from({ length: 20 }, (_, i) => i + 1));
  });

  it('tell whoever watches the conversation', async () => {
    const { conversations, visits } = await openOn(await aPlace());
    await conversations.commit(told);
    const heard = new Promise((resolve) => conversations.watch(resolve));
    await visits.add(REFERENCE, entry('e1', note('one')));
    expect(await heard).toBe('k1');
  });

  it('after the sign-off are taken as corrections only, but what was written before and comes late is not lost', async () => {
    const { conversations, visits } = await openOn(await aPlace());
    await conversations.commit(told);
    await visits.add(REFERENCE, entry('e1', note('one')));
    await visits.add(REFERENCE, entry('e2', signOff, '2026-05-16T11:30:00.000Z'));
    const signed = foldVisit(await visits.of(REFERENCE)).signed;
    expect(await visits.add(REFERENCE, entry('e3', note('new'), '2026-05-16T11:40:00.000Z'))).toBe('signed');
    expect(await visits.add(REFERENCE, entry('e4', signOff, '2026-05-16T11:20:00.000Z'))).toBe('signed');
    expect(await visits.add(REFERENCE, entry('e5', note('late'), '2026-05-16T11:10:00.000Z'))).toBe('added');
    const correction: VisitBody = { kind: 'correction', why: 'mistake', change: { kind: 'note', text: 'better' } };
    expect(await visits.add(REFERENCE, entry('e6', correction, '2026-05-16T11:50:00.000Z'))).toBe('added');
    const record = foldVisit(await visits.of(REFERENCE));
    expect(record.signed).toEqual(signed);
    expect(record.corrections.map(({ why }) => why)).toEqual(['late', 'mistake']);
  });

  it('cannot be changed, taken out or slipped in behind a sign-off, not even past the store', async () => {
    const place = await aPlace();
    const { conversations, visits } = await openOn(place);
    await conversations.commit(told);
    await visits.add(REFERENCE, entry('e1', note('one')));
    await visits.add(REFERENCE, entry('e2', signOff));
    const before = await visits.of(REFERENCE);
    for (const statement of RUN_PAST)
      await expect(place.run(statement), statement).rejects.toThrow(/visit entry|signed/);
    expect(await visits.of(REFERENCE)).toEqual(before);
  });

  it('go with their conversation when the family deletes it, and nothing can be added any more', async () => {
    const { conversations, visits } = await openOn(await aPlace());
    await conversations.commit(told);
    await visits.add(REFERENCE, entry('e1', note('one')));
    await visits.add(REFERENCE, entry('e2', signOff));
    await visits.openLink('h1', known);
    expect(await visits.linkedTo('h1')).toBe(REFERENCE);
    expect(await conversations.commit(deletion)).toBe('committed');
    expect(await visits.of(REFERENCE)).toEqual([]);
    expect(await visits.linkedTo('h1')).toBeNull();
    expect(await visits.add(REFERENCE, entry('e3', note('late')))).toBe('gone');
    expect(await visits.add('nobody', entry('e3', note('nobody')))).toBe('gone');
  });

  it('go with their conversation when it is too old, and an entry counts as activity', async () => {
    const store = await openOn(await aPlace());
    await store.conversations.commit(told);
    await store.visits.add(REFERENCE, entry('e1', note('one')));
    await store.visits.openLink('h1', known);
    expect((await store.purge(NOON.toISOString())).conversations).toBe(0);
    expect((await store.purge('2026-05-16T12:00:00.001Z')).conversations).toBe(1);
    expect(await store.visits.of(REFERENCE)).toEqual([]);
    expect(await store.visits.linkedTo('h1')).toBeNull();
  });

  it('are sealed anew under another key, and only then', async () => {
    const place = await aPlace();
    const first = await openOn(place, () => NOON, createFieldCipher('k'.repeat(40), []));
    await first.conversations.commit(told);
    await first.visits.add(REFERENCE, entry('e1', note(SECRET)));
    const second = await openOn(place, () => NOON, createFieldCipher('n'.repeat(40), ['k'.repeat(40)]));
    expect((await second.visits.of(REFERENCE)).map(({ body }) => body)).toEqual([note(SECRET)]);
    await expect(place.run(`update visit_entries set entry = 'x'`)).rejects.toThrow(/visit entry/);
  });

  it('that cannot be read are said to be so, since a record with a hole says something else', async () => {
    const place = await aPlace();
    const { conversations, visits } = await openOn(place);
    await conversations.commit(told);
    await place.run(
      `insert into visit_entries (reference, conversation_id, seq, id, kind, account_id, at, received_at, entry)
       values ('${REFERENCE}', 'k1', 1, 'z', 'change', 'a1', 'x', 'x', '{}')`,
    );
    await expect(visits.of(REFERENCE)).rejects.toThrow('cannot be read');
  });
});

it('seals what was recorded: no byte of it stands in the files', async () => {
  const dataDir = aDataDir();
  const store = await openOn({ dataDir, databaseUrl: null }, () => NOON, createFieldCipher('k'.repeat(40), []));
  await store.conversations.commit(told);
  await store.visits.add(REFERENCE, entry('e1', note(SECRET)));
  expect(readdirSync(dataDir).some((file) => readFileSync(join(dataDir, file)).includes(SECRET))).toBe(false);
});
