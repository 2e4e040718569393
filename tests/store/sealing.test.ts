import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { sql } from 'kysely';
import { describe, expect, it } from 'vitest';
import { createFieldCipher } from '#src/protection/field-cipher.ts';
import { openBackend, openStore } from '#src/store/open-store.ts';
import { StoreError } from '#src/store/store-error.ts';
import { aSummary } from '../factories/summary.ts';
import { aReply, aTurn } from '../factories/turn.ts';
import { aDataDir, DATABASES, NOON, openOn, type Place } from './places.ts';

const clock = () => NOON;
const SECRET = 'the first key of this test, long enough';
const NEXT = 'the second key of this test, long enough';
const cipher = createFieldCipher(SECRET, []);

const PHONE = '(555) 010-4477';
const EMAIL = 'ana@quillwort.example';
const told = aTurn({
  incoming: { activityId: 'a1', text: `${EMAIL} or ${PHONE}` },
  snapshot: { version: 1, context: { contact: `${EMAIL} or ${PHONE}` } },
  reply: aReply(`We will call ${PHONE}.`),
  channelAddress: JSON.stringify({ caregiver: PHONE }),
  summary: aSummary({
    notes: `mornings are best\n${EMAIL} or ${PHONE}`,
    caregiverWords: [{ asking: null, text: `reach me at ${PHONE} or ${EMAIL}, the pram is red`, values: {} }],
  }),
  effects: [{ kind: 'summary', idempotencyKey: 'e1', payload: { notes: PHONE } }],
});
/** What none of it may be found by; too long to stand in a sealed value by chance. */
const CONTACT = /010-?4477|quillwort/i;

async function rawRows(place: Place): Promise<string> {
  const backend = await openBackend(place);
  const tables = ['conversations', 'thread', 'activities', 'cases', 'outbox', 'audit'];
  const rows = [];
  for (const table of tables) rows.push((await sql`select * from ${sql.table(table)}`.execute(backend.db)).rows);
  await backend.close();
  return JSON.stringify(rows);
}

describe.each(DATABASES)('on %s', (_name, aPlace) => {
  it('everything is read as it was written', async () => {
    const store = await openOn(await aPlace(), clock, cipher);
    await store.conversations.commit(told);
    expect((await store.conversations.load('k1'))?.snapshot).toEqual(told.snapshot);
    expect((await store.conversations.thread('k1', 0)).map(({ text }) => text)).toEqual([
      told.incoming?.text,
      told.reply.say[0],
    ]);
    expect(await store.conversations.replyTo('k1', 'a1')).toEqual({ replyId: 'r1', reply: told.reply });
    expect(await store.cases.byReference('KV7-2QM')).toMatchObject({ state: 'found', summary: told.summary });
    expect((await store.cases.list({ pageSize: 5 })).cases[0]?.children).toHaveLength(1);
    await store.conversations.commit({ ...told, expectedVersion: 1, incoming: null, replyId: 'r2' });
    expect(await store.cases.byReference('KV7-2QM')).toMatchObject({ state: 'found', summary: told.summary });
    await store.outbox.spread(['webhook'], '2027-01-01T00:00:00.000Z', 10);
    const [delivery] = await store.outbox.claim('2027-01-01T00:00:00.000Z', '2027-01-02T00:00:00.000Z', 10);
    expect(delivery?.payload).toEqual({ notes: PHONE });
  });

  it('the database holds no contact in plain text, and what is handed on neither', async () => {
    const place = await aPlace();
    const store = await openStore({ ...place, clock, cipher });
    await store.conversations.commit(told);
    await store.outbox.spread(['webhook', 'mail'], '2027-01-01T00:00:00.000Z', 10);
    await store.close();
    expect(await rawRows(place)).not.toMatch(CONTACT);
  });

  it('families are still found by their words, but not by a contact', async () => {
    const { conversations, cases } = await openOn(await aPlace(), clock, cipher);
    await conversations.commit(told);
    const found = async (search: string) => (await cases.list({ pageSize: 5, filter: { search } })).cases.length;
    expect([await found('red pram'), await found('mornings'), await found('kv72qm')]).toEqual([1, 1, 1]);
    expect([await found('4477'), await found('quillwort')]).toEqual([0, 0]);
  });

  it('what was written before there was a key is sealed at the next start', async () => {
    const place = await aPlace();
    const before = await openStore({ ...place, clock });
    await before.conversations.commit(told);
    await before.close();
    await place.run(`update cases set search_text = 'call ${PHONE}'`);
    expect(await rawRows(place)).toMatch(CONTACT);
    await (await openStore({ ...place, clock, cipher })).close();
    expect(await rawRows(place)).not.toMatch(CONTACT);
    const after = await openOn(place, clock, cipher);
    expect(await after.cases.byReference('KV7-2QM')).toMatchObject({ state: 'found', summary: told.summary });
    expect((await after.cases.list({ pageSize: 5, filter: { search: 'pram' } })).cases).toHaveLength(1);
  });

  it('a new key reads what the old one sealed, and seals it anew so that the old one can go', async () => {
    const place = await aPlace();
    const first = await openStore({ ...place, clock, cipher });
    await first.conversations.commit(told);
    await first.close();
    const both = createFieldCipher(NEXT, [SECRET]);
    await (await openStore({ ...place, clock, cipher: both })).close();
    const raw = await rawRows(place);
    expect(raw).toContain(`sealed:1:${both.keyId}:`);
    expect(raw).not.toContain(cipher.keyId);
    const store = await openOn(place, clock, createFieldCipher(NEXT, []));
    expect((await store.conversations.load('k1'))?.snapshot).toEqual(told.snapshot);
  });

  it('a start without the right key is refused, and changes nothing', async () => {
    const place = await aPlace();
    const first = await openStore({ ...place, clock, cipher });
    await first.conversations.commit(told);
    await first.close();
    const before = await rawRows(place);
    const wrong = createFieldCipher(NEXT, []);
    await expect(openStore({ ...place, clock, cipher: wrong })).rejects.toThrow(/LAPWING_SECRET_KEYS_OLD/);
    await expect(openStore({ ...place, clock })).rejects.toThrow(StoreError);
    expect(await rawRows(place)).toBe(before);
    const again = await openOn(place, clock, cipher);
    expect((await again.conversations.load('k1'))?.version).toBe(1);
  });

  it('a sealed value that is damaged costs itself and nothing else', async () => {
    const place = await aPlace();
    const store = await openOn(place, clock, cipher);
    await store.conversations.commit(told);
    await place.run(`update conversations set snapshot = substr(snapshot, 1, 60)`);
    await place.run(`update cases set summary = substr(summary, 1, 60)`);
    expect(await store.conversations.load('k1')).toMatchObject({ version: 1, snapshot: null });
    expect(await store.cases.byReference('KV7-2QM')).toEqual({ state: 'unreadable' });
    expect(await store.conversations.thread('k1', 0)).toHaveLength(2);
  });
});

it('no byte of a contact stands in the files, neither while they are open nor after', async () => {
  const dataDir = aDataDir();
  const store = await openStore({ dataDir, clock, cipher });
  const held = () => readdirSync(dataDir).some((file) => CONTACT.test(readFileSync(join(dataDir, file), 'latin1')));
  await store.conversations.commit(told);
  await store.conversations.note('k1', [{ id: 'n1', from: 'caregiver', text: `or ${PHONE}` }], NOON.toISOString());
  expect(held()).toBe(false);
  await store.close();
  expect(held()).toBe(false);
});

it('no byte of it is left in the files of a database that is sealed for the first time', async () => {
  const dataDir = aDataDir();
  const held = () => readdirSync(dataDir).some((file) => CONTACT.test(readFileSync(join(dataDir, file), 'latin1')));
  const before = await openStore({ dataDir, clock });
  await before.conversations.commit(told);
  await before.close();
  expect(held()).toBe(true);
  const store = await openStore({ dataDir, clock, cipher });
  expect(held()).toBe(false);
  await store.close();
  expect(held()).toBe(false);
});
