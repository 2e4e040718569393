import { join } from 'node:path';
import { Kysely, Migrator } from 'kysely';
import { expect, it } from 'vitest';
import { MIGRATIONS } from '#src/store/migrations.ts';
import { openSqlite, sqliteDialect } from '#src/store/sqlite.ts';
import { aDataDir, aStore } from './places.ts';

it('an account from before roles becomes a coordinator for all events, and its session goes on', async () => {
  const dataDir = aDataDir();
  const db = new Kysely<Record<string, Record<string, unknown>>>({
    dialect: sqliteDialect(openSqlite(join(dataDir, 'lapwing.db'))),
  });
  const migrator = new Migrator({ db, provider: { getMigrations: async () => ({ ...MIGRATIONS }) } });
  expect((await migrator.migrateTo('0005-by-activity')).error).toBeUndefined();
  const at = '2026-05-16T09:00:00.000Z';
  const account = { id: 'a1', name: 'Robin', name_key: 'robin', role: 'technician', password_hash: 'scrypt…' };
  await db
    .insertInto('accounts')
    .values({ ...account, failed_attempts: 3, not_before: at, created_at: at })
    .execute();
  const session = { token_hash: 's1', account_id: 'a1', created_at: at, expires_at: '2026-05-16T21:00:00.000Z' };
  await db.insertInto('sessions').values(session).execute();
  await db.destroy();

  const store = await aStore(dataDir);
  expect(await store.people.list()).toMatchObject([
    { name: 'Robin', role: 'coordinator', eventIds: null, disabled: false, hasPassword: true, hasIdentity: false },
  ]);
  expect(await store.sessions.find('s1')).toMatchObject({ name: 'Robin', role: 'coordinator' });
  expect(await store.people.setDisabled('a1', true)).toBe('last-coordinator');
});
