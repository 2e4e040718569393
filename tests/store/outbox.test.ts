import { join } from 'node:path';
import { Kysely, Migrator } from 'kysely';
import { describe, expect, it } from 'vitest';
import { MIGRATIONS } from '#src/store/migrations.ts';
import { openSqlite, sqliteDialect } from '#src/store/sqlite.ts';
import type { Tables } from '#src/store/tables.ts';
import { aTurn } from '../factories/turn.ts';
import { aDataDir, DATABASES, NOON, openOn } from './places.ts';

const effect = (idempotencyKey: string) =>
  ({ kind: 'summary', idempotencyKey, payload: { key: idempotencyKey } }) as const;

it('keeps what an older version wanted done', async () => {
  const dataDir = aDataDir();
  const database = openSqlite(join(dataDir, 'lapwing.db'));
  const db = new Kysely<Tables>({ dialect: sqliteDialect(database) });
  const migrator = new Migrator({ db, provider: { getMigrations: async () => ({ ...MIGRATIONS }) } });
  await migrator.migrateTo('0001-first-tables');
  database.exec(`insert into outbox (id, conversation_id, kind, payload, idempotency_key, due_at, attempts, state, created_at)
    values ('o1', 'k1', 'summary', '{"a":1}', 'k1:1', '2026-05-16T09:30:00.000Z', 0, 'waiting', '2026-05-16T09:30:00.000Z')`);
  await db.destroy();
  const { outbox } = await openOn({ dataDir, databaseUrl: null });
  await outbox.spread(['mail'], NOON.toISOString(), 10);
  const claimed = await outbox.claim(NOON.toISOString(), '2026-05-16T13:00:00.000Z', 10);
  expect(claimed).toMatchObject([{ destination: 'mail', idempotencyKey: 'k1:1/mail', payload: { a: 1 }, attempts: 1 }]);
});

describe.each(DATABASES)('on %s', (_name, aPlace) => {
  it('keeps what a turn asks for, once under its key, until it is due', async () => {
    const { conversations, outbox } = await openOn(await aPlace());
    await conversations.commit(aTurn({ effects: [effect('k1:1'), effect('k1:1')] }));
    await conversations.commit(
      aTurn({
        expectedVersion: 1,
        incoming: { activityId: 'a2', text: 'x' },
        replyId: 'r2',
        effects: [effect('k1:1'), { kind: 'person-wanted', idempotencyKey: 'k1:2', payload: null }],
        at: '2026-05-16T09:31:00.000Z',
      }),
    );
    expect(await outbox.due('2026-05-16T09:29:59.000Z', 10)).toEqual([]);
    const due = await outbox.due('2026-05-16T09:31:00.000Z', 10);
    expect(due.map(({ kind, idempotencyKey, payload, attempts }) => [kind, idempotencyKey, payload, attempts])).toEqual(
      [
        ['summary', 'k1:1', { key: 'k1:1' }, 0],
        ['person-wanted', 'k1:2', null, 0],
      ],
    );
    expect(await outbox.due('2026-05-16T09:31:00.000Z', 1)).toHaveLength(1);
  });
});
