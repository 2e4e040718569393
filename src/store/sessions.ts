import type { Clock } from '#src/clock.ts';
import type { Role } from './accounts.ts';
import { readEventIds } from './event-ids.ts';
import type { Database } from './tables.ts';

/** Who is signed in. */
export interface SignedIn {
  readonly accountId: string;
  readonly name: string;
  readonly role: Role;
  /** The events whose families it sees; null: all families, also those of no event. */
  readonly eventIds: readonly string[] | null;
}

export interface SessionStore {
  /** Keeps a session for so long from now under the hash of its token, and drops those that have run out. */
  add(tokenHash: string, accountId: string, lastsMs: number): Promise<void>;
  /** Null for an unknown, ended or expired session. */
  find(tokenHash: string): Promise<SignedIn | null>;
  end(tokenHash: string): Promise<void>;
  /** Ends every session of an account. */
  endAll(accountId: string): Promise<void>;
}

/** Sessions of the desk. The token itself is never stored. */
export function sessionStore(db: Database, clock: Clock): SessionStore {
  return {
    async add(tokenHash, accountId, lastsMs) {
      const now = clock().toISOString();
      const expiresAt = new Date(clock().getTime() + lastsMs).toISOString();
      await db.transaction().execute(async (trx) => {
        await trx.deleteFrom('sessions').where('expires_at', '<=', now).execute();
        await trx
          .insertInto('sessions')
          .values({ token_hash: tokenHash, account_id: accountId, created_at: now, expires_at: expiresAt })
          .execute();
      });
    },

    async find(tokenHash) {
      const row = await db
        .selectFrom('sessions')
        .innerJoin('accounts', 'accounts.id', 'sessions.account_id')
        .select(['accounts.id as accountId', 'accounts.name', 'accounts.role', 'accounts.event_ids'])
        .where('sessions.token_hash', '=', tokenHash)
        .where('sessions.expires_at', '>', clock().toISOString())
        .where('accounts.disabled', '=', 0)
        .executeTakeFirst();
      if (!row) return null;
      const { event_ids, ...person } = row;
      return { ...person, eventIds: readEventIds(event_ids) };
    },

    async end(tokenHash) {
      await db.transaction().execute((trx) => trx.deleteFrom('sessions').where('token_hash', '=', tokenHash).execute());
    },

    async endAll(accountId) {
      await db.transaction().execute((trx) => trx.deleteFrom('sessions').where('account_id', '=', accountId).execute());
    },
  };
}
