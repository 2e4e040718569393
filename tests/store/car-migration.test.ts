import { join } from 'node:path';
import { Kysely, Migrator, PostgresDialect } from 'kysely';
import pg from 'pg';
import { describe, expect, it } from 'vitest';
import { MIGRATIONS } from '#src/store/migrations.ts';
import { openSqlite, sqliteDialect } from '#src/store/sqlite.ts';
import { aSummary } from '../factories/summary.ts';
import { aTurn } from '../factories/turn.ts';
import { DATABASES, openOn, type Place } from './places.ts';

const BEFORE = '0022-event-board';
const AT = '2026-05-16T09:00:00.000Z';

const dialectOf = ({ dataDir, databaseUrl }: Place) =>
  databaseUrl === null
    ? sqliteDialect(openSqlite(join(dataDir, 'lapwing.db')))
    : new PostgresDialect({ pool: new pg.Pool({ connectionString: databaseUrl, max: 1 }) });

/** A database as the version before left it: a family that was sent and seen, with all that hangs on it. */
async function asItWas(place: Place): Promise<void> {
  const db = new Kysely<Record<string, Record<string, unknown>>>({ dialect: dialectOf(place) });
  const migrator = new Migrator({ db, provider: { getMigrations: async () => ({ ...MIGRATIONS }) } });
  expect((await migrator.migrateTo(BEFORE)).error).toBeUndefined();
  const put = (table: string, row: Record<string, unknown>) => db.insertInto(table).values(row).execute();
  const counts = { minutes: 30, complete: 1, person: 0, urgent_count: 1, visit_count: 2, verify_count: 3 };
  const summary = aSummary();
  await put('conversations', {
    id: 'k1',
    channel: 'direct-line',
    language: 'es',
    state: 'sent',
    version: 1,
    last_seq: 0,
    created_at: AT,
    updated_at: AT,
  });
  await put('cases', {
    reference: summary.reference,
    conversation_id: 'k1',
    priority: 1,
    language: 'es',
    ...counts,
    children: '[]',
    summary: JSON.stringify(summary),
    search_text: 'wren',
    rides: '[]',
    created_at: AT,
    updated_at: AT,
  });
  const note = JSON.stringify({ by: 'Robin', body: { kind: 'note', text: 'one' } });
  const entry = { account_id: 'a1', at: AT, received_at: AT, conversation_id: 'k1' };
  await put('visit_entries', { ...entry, seq: 1, id: 'e1', kind: 'change', entry: note });
  const signOff = JSON.stringify({ by: 'Robin', body: { kind: 'sign-off', reported: summary.case } });
  await put('visit_entries', { ...entry, seq: 2, id: 'e2', kind: 'sign-off', entry: signOff });
  await put('take_home_links', { token_hash: 'h1', conversation_id: 'k1', created_at: AT });
  const waits = { conversation_id: 'k1', due_at: AT, attempts: 0, state: 'waiting', created_at: AT, payload: '{}' };
  const reminder = { kind: 'caregiver-message', destination: 'caregiver' };
  await put('outbox', { ...waits, ...reminder, id: 'o1', idempotency_key: 'tell:k1:reminder:asked:c1:expiry:2027' });
  await put('outbox', { ...waits, ...reminder, id: 'o2', idempotency_key: 'tell:k1:take-home-0' });
  const photo = { id: 'p1', conversation_id: 'k1', received_at: AT, photo: '', thumbnail: '', photo_reading: '{}' };
  await put('label_photos', photo);
  await db.destroy();
}

describe.each(DATABASES)('a family from before cars had cases of their own, on %s', (_name, aPlace) => {
  it('keeps all it had, by its case', async () => {
    const place = await aPlace();
    await asItWas(place);
    const store = await openOn(place);
    const { reference } = aSummary();
    expect(await store.cases.byReference(reference)).toEqual({
      state: 'found',
      summary: aSummary(),
      conversationId: 'k1',
    });
    const { cases } = await store.cases.list({ pageSize: 5 });
    expect(cases).toMatchObject([{ reference, eventId: null, urgentCount: 1, visitCount: 2, verifyCount: 3 }]);
    expect((await store.visits.of(reference)).map(({ seq, id, at }) => [seq, id, at])).toEqual([
      [1, 'e1', AT],
      [2, 'e2', AT],
    ]);
    expect(await store.visits.linkedTo('h1')).toBe(reference);
    expect(await store.photos.of(reference)).toMatchObject([{ id: 'p1' }]);
    expect((await store.outbox.due(AT, 5)).map((one) => [one.id, one.reference, one.idempotencyKey])).toEqual([
      ['o1', reference, `tell:k1:reminder:asked:c1:expiry:2027:${reference}`],
      ['o2', reference, 'tell:k1:take-home-0'],
    ]);
  });

  it('may have a second case from then on, and its records are guarded as before', async () => {
    const place = await aPlace();
    await asItWas(place);
    const store = await openOn(place);
    const { reference } = aSummary();
    const second = aSummary({ reference: `${reference}-2` });
    const incoming = { activityId: 'a1', text: 'more' };
    await store.conversations.commit(
      aTurn({ expectedVersion: 1, incoming, summary: second, earlier: [reference], replyId: 'r2' }),
    );
    expect(await store.cases.referencesOf('k1')).toHaveLength(2);
    await expect(place.run(`update visit_entries set at = 'x'`)).rejects.toThrow('never changed');
    await expect(place.run('delete from visit_entries')).rejects.toThrow('goes with its conversation only');
    const note = { id: 'e3', at: AT, accountId: 'a1', by: 'Robin', body: { kind: 'note', text: 'x' } } as const;
    expect(await store.visits.add(reference, note)).toBe('signed');
    expect(await store.visits.add(second.reference, note)).toBe('added');
  });
});
