import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { sql } from 'kysely';
import { describe, expect, it } from 'vitest';
import { createFieldCipher } from '#src/protection/field-cipher.ts';
import { backUp } from '#src/store/backup.ts';
import { openBackend, openStore } from '#src/store/open-store.ts';
import { restore } from '#src/store/restore.ts';
import { aSummary } from '../factories/summary.ts';
import { aPhoto, aTurn } from '../factories/turn.ts';
import { aDataDir, DATABASES, NOON, openOn, type Place } from './places.ts';

const SECRET = 'the first key of this test, long enough';
const NEXT = 'the second key of this test, long enough';
const cipher = createFieldCipher(SECRET, []);
const clock = () => NOON;

const sent = aTurn({
  summary: aSummary(),
  photos: [aPhoto(), aPhoto({ id: 'p2', childId: null, fields: {}, picture: Buffer.alloc(300_000, 0xa7) })],
});
const later = (over: Parameters<typeof aTurn>[0]) =>
  aTurn({ expectedVersion: 1, incoming: null, replyId: 'r2', ...over });

async function rawPhotos(place: Omit<Place, 'run'>): Promise<readonly Record<string, unknown>[]> {
  const backend = await openBackend(place);
  const { rows } = await sql<Record<string, unknown>>`select * from label_photos order by id`.execute(backend.db);
  await backend.close();
  return rows;
}

describe.each(DATABASES)('on %s', (_name, aPlace) => {
  it('photos come back as they were taken in, in their order, with what was read', async () => {
    const { conversations, photos } = await openOn(await aPlace(), clock, cipher);
    await conversations.commit(sent);
    expect(await photos.of('KV7-2QM')).toEqual([
      { id: 'p1', childId: 'c1', receivedAt: sent.at, fields: aPhoto().fields },
      { id: 'p2', childId: null, receivedAt: sent.at, fields: {} },
    ]);
    expect(await photos.picture('k1', 'p1', 'whole')).toEqual(aPhoto().picture);
    expect(await photos.picture('k1', 'p1', 'small')).toEqual(aPhoto().thumbnail);
    expect(await photos.picture('k1', 'p2', 'whole')).toEqual(Buffer.alloc(300_000, 0xa7));
    expect([await photos.count('k1'), await photos.count('other')]).toEqual([2, 0]);
    expect(await photos.picture('other', 'p1', 'whole')).toBeNull();
  });

  it('the database holds nothing of them in plain, and a new key seals them anew', async () => {
    const place = await aPlace();
    const first = await openStore({ ...place, clock, cipher });
    await first.conversations.commit(sent);
    await first.close();
    const both = createFieldCipher(NEXT, [SECRET]);
    const sealedUnder = async (keyId: string) => {
      for (const row of await rawPhotos(place))
        for (const column of ['photo', 'thumbnail', 'photo_reading'])
          expect(String(row[column]).startsWith(`sealed:1:${keyId}:`), column).toBe(true);
    };
    await sealedUnder(cipher.keyId);
    await (await openStore({ ...place, clock, cipher: both })).close();
    await sealedUnder(both.keyId);
    const store = await openOn(place, clock, createFieldCipher(NEXT, []));
    expect(await store.photos.picture('k1', 'p1', 'whole')).toEqual(aPhoto().picture);
  });

  it('they go with the family’s wish, with its age, with the case, and when it starts over', async () => {
    const store = await openOn(await aPlace(), clock, cipher);
    const { conversations, photos } = store;
    const gone = async (change: () => Promise<unknown>, id: string) => {
      await conversations.commit({
        ...sent,
        conversationId: id,
        summary: aSummary({ reference: id }),
        photos: [aPhoto({ id })],
      });
      expect(await photos.count(id)).toBe(1);
      await change();
      expect(await photos.count(id), id).toBe(0);
      expect(await photos.picture(id, id, 'small'), id).toBeNull();
    };
    await gone(() => conversations.commit(later({ conversationId: 'wish', state: 'deleted', snapshot: null })), 'wish');
    await gone(() => conversations.commit(later({ conversationId: 'refused', summary: null })), 'refused');
    const anew = { conversationId: 'anew', summary: aSummary({ reference: 'anew' }), startsOver: true };
    await gone(() => conversations.commit(later(anew)), 'anew');
    await gone(() => store.purge('2027-01-01T00:00:00.000Z'), 'old');
  });

  it('one is removed by itself, once', async () => {
    const { conversations, photos } = await openOn(await aPlace(), clock, cipher);
    await conversations.commit(sent);
    expect(await photos.remove('other', 'p1')).toBe(false);
    expect([await photos.remove('k1', 'p1'), await photos.remove('k1', 'p1')]).toEqual([true, false]);
    expect((await photos.of('KV7-2QM')).map(({ id }) => id)).toEqual(['p2']);
  });

  it('one that cannot be opened is said not to be there, and harms nothing else', async () => {
    const place = await aPlace();
    const { conversations, photos } = await openOn(place, clock, cipher);
    await conversations.commit(sent);
    await place.run(`update label_photos set photo = substr(photo, 1, 60), photo_reading = 'x' where id = 'p1'`);
    expect(await photos.picture('k1', 'p1', 'whole')).toBeNull();
    expect((await photos.of('KV7-2QM')).map(({ fields }) => fields)).toEqual([{}, {}]);
  });
});

it('a backup holds them sealed, and comes back whole', async () => {
  const dataDir = aDataDir();
  const store = await openStore({ dataDir, clock, cipher });
  // More than are read from the database at once.
  const photos = Array.from({ length: 9 }, (_, i) => aPhoto({ id: `p${i}` }));
  await store.conversations.commit({ ...sent, photos });
  const file = join(aDataDir(), 'copy.db');
  expect(await backUp({ dataDir, databaseUrl: null }, file)).toContainEqual(
    expect.objectContaining({ table: 'label_photos', rows: 9 }),
  );
  await store.close();
  expect(readFileSync(file, 'latin1')).not.toContain(aPhoto().picture.toString('base64'));
  const back = aDataDir();
  await restore(file, { dataDir: back, databaseUrl: null, replace: false, at: NOON.toISOString() });
  const again = await openOn({ dataDir: back, databaseUrl: null }, clock, cipher);
  expect(await again.photos.picture('k1', 'p8', 'whole')).toEqual(aPhoto().picture);
  expect(await again.photos.count('k1')).toBe(9);
});

it('what was removed is in the files no more, even while they are open', async () => {
  const dataDir = aDataDir();
  const store = await openStore({ dataDir, clock });
  const bytes = aPhoto().picture.toString('base64');
  const held = () => readdirSync(dataDir).some((file) => readFileSync(join(dataDir, file)).includes(bytes));
  await store.conversations.commit(sent);
  expect(held()).toBe(true);
  await store.photos.remove('k1', 'p1');
  expect(held()).toBe(false);
  await store.close();
});
