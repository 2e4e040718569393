import type { Clock } from '#src/clock.ts';
import type { Role } from './accounts.ts';
import type { Database } from './tables.ts';

/** Who is signed in. */
export interface SignedIn {
  readonly accountId: string;
  readonly name: string;
  readonly role: Role;
}

export interface SessionStore {
  /** Keeps a session for so long from now under the hash of its token, and drops those that have run out. */
  add(tokenHash: string, accountId: string, lastsMs: number): Promise<void>;
  /** Null for an unknown, ended or expired session. */
  find(tokenHash: string): Promise<SignedIn | null>;
  end(tokenHash: string): Promise<void>;
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
        .select(['accounts.id as accountId', 'accounts.name', 'accounts.role'])
        .where('sessions.token_hash', '=', tokenHash)
        .where('sessions.expires_at', '>', clock().toISOString())
        .executeTakeFirst();
      return row ?? null;
    },

    async end(tokenHash) {
      await db.transaction().execute((trx) => trx.deleteFrom('sessions').where('token_hash', '=', tokenHash).execute());
    },
  };
}
