import type { Clock } from '#src/clock.ts';
import type { Database } from './tables.ts';

export interface TeamCalendarStore {
  /** Keeps one link open to somebody's calendar file, by the hash of its token; an older one stops working. */
  keep(accountId: string, tokenHash: string): Promise<void>;
  /** Closes the link; nothing, where there is none. */
  close(accountId: string): Promise<void>;
  /** Since when somebody has a link (ISO 8601); null: there is none. */
  since(accountId: string): Promise<string | null>;
  /** Whose link it is, unless the account is closed. */
  accountOf(tokenHash: string): Promise<string | null>;
}

/** Private links with which technicians' calendars read the times of their families. */
export function teamCalendarStore(db: Database, clock: Clock): TeamCalendarStore {
  return {
    async keep(accountId, tokenHash) {
      const link = { token_hash: tokenHash, created_at: clock().toISOString() };
      await db.transaction().execute((trx) =>
        trx
          .insertInto('team_calendars')
          .values({ account_id: accountId, ...link })
          .onConflict((conflict) => conflict.column('account_id').doUpdateSet(link))
          .execute(),
      );
    },

    async close(accountId) {
      await db
        .transaction()
        .execute((trx) => trx.deleteFrom('team_calendars').where('account_id', '=', accountId).execute());
    },

    async since(accountId) {
      const row = await db
        .selectFrom('team_calendars')
        .select('created_at')
        .where('account_id', '=', accountId)
        .executeTakeFirst();
      return row?.created_at ?? null;
    },

    async accountOf(tokenHash) {
      const row = await db
        .selectFrom('team_calendars')
        .innerJoin('accounts', 'accounts.id', 'team_calendars.account_id')
        .select('account_id')
        .where('team_calendars.token_hash', '=', tokenHash)
        .where('accounts.disabled', '=', 0)
        .executeTakeFirst();
      return row?.account_id ?? null;
    },
  };
}
