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
  /** Keeps a session for so long from now under the hash of its token, and drops those that ran out long ago. */
  add(tokenHash: string, accountId: string, lastsMs: number): Promise<void>;
  /** Null for an unknown, ended or expired session, and for one that nobody used for `idleMs`. */
  find(tokenHash: string, idleMs?: number | null): Promise<SignedIn | null>;
  /** Counts from now again how long nobody used it. */
  touch(tokenHash: string): Promise<void>;
  /** Whose session it was that ran out within the last day; null for one that was ended, or that still holds. */
  ranOut(tokenHash: string, idleMs?: number | null): Promise<string | null>;
  end(tokenHash: string): Promise<void>;
  /** Ends every session of an account. */
  endAll(accountId: string): Promise<void>;
}

const DAY_MS = 24 * 60 * 60 * 1000;
const TOUCH_MS = 60_000;

/** Sessions of the desk. The token itself is never stored. */
export function sessionStore(db: Database, clock: Clock): SessionStore {
  const rowOf = (tokenHash: string) =>
    db
      .selectFrom('sessions')
      .innerJoin('accounts', 'accounts.id', 'sessions.account_id')
      .select(['accounts.id as accountId', 'accounts.name', 'accounts.role', 'accounts.event_ids'])
      .select(['sessions.expires_at', 'sessions.used_at', 'sessions.created_at'])
      .where('sessions.token_hash', '=', tokenHash)
      .where('accounts.disabled', '=', 0)
      .executeTakeFirst();

  const holds = (row: { expires_at: string; used_at: string | null; created_at: string }, idleMs: number | null) => {
    const now = clock().getTime();
    const usedAt = Date.parse(row.used_at ?? row.created_at);
    return row.expires_at > clock().toISOString() && (idleMs === null || now - usedAt < idleMs);
  };

  return {
    async add(tokenHash, accountId, lastsMs) {
      const now = clock().toISOString();
      const expiresAt = new Date(clock().getTime() + lastsMs).toISOString();
      await db.transaction().execute(async (trx) => {
        const longAgo = new Date(clock().getTime() - DAY_MS).toISOString();
        await trx.deleteFrom('sessions').where('expires_at', '<=', longAgo).execute();
        await trx
          .insertInto('sessions')
          .values({
            token_hash: tokenHash,
            account_id: accountId,
            created_at: now,
            expires_at: expiresAt,
            used_at: null,
          })
          .execute();
      });
    },

    async find(tokenHash, idleMs = null) {
      const row = await rowOf(tokenHash);
      if (!row || !holds(row, idleMs)) return null;
      const { accountId, name, role } = row;
      return { accountId, name, role, eventIds: readEventIds(row.event_ids) };
    },

    async touch(tokenHash) {
      const now = clock().getTime();
      const before = new Date(now - TOUCH_MS).toISOString();
      await db.transaction().execute((trx) =>
        trx
          .updateTable('sessions')
          .set({ used_at: new Date(now).toISOString() })
          .where('token_hash', '=', tokenHash)
          // Not with every request: a minute more or less makes no difference.
          .where((eb) => eb.or([eb('used_at', '<', before), eb('used_at', 'is', null)]))
          .execute(),
      );
    },

    async ranOut(tokenHash, idleMs = null) {
      const row = await rowOf(tokenHash);
      return row && !holds(row, idleMs) ? row.accountId : null;
    },

    async end(tokenHash) {
      await db.transaction().execute((trx) => trx.deleteFrom('sessions').where('token_hash', '=', tokenHash).execute());
    },

    async endAll(accountId) {
      await db.transaction().execute((trx) => trx.deleteFrom('sessions').where('account_id', '=', accountId).execute());
    },
  };
}
