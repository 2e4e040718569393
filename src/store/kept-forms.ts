import type { Clock } from '#src/clock.ts';
import type { Database } from './tables.ts';

/** A form that somebody sent after their session had run out. */
export interface KeptForm {
  readonly accountId: string;
  /** Where it was sent to. */
  readonly path: string;
  readonly fields: URLSearchParams;
}

export interface KeptFormStore {
  /** Keeps a form for so long from now under the hash of a token that only its browser has. */
  keep(tokenHash: string, form: KeptForm, forMs: number): Promise<void>;
  /** Null for one that was finished or is too old. */
  find(tokenHash: string): Promise<KeptForm | null>;
  drop(tokenHash: string): Promise<void>;
}

/** Forms that wait for somebody to sign in again; what was typed is sealed. */
export function keptFormStore(db: Database, clock: Clock): KeptFormStore {
  return {
    async keep(tokenHash, { accountId, path, fields }, forMs) {
      const now = clock().getTime();
      await db.transaction().execute(async (trx) => {
        await trx.deleteFrom('kept_forms').where('expires_at', '<=', new Date(now).toISOString()).execute();
        await trx
          .insertInto('kept_forms')
          .values({
            token_hash: tokenHash,
            account_id: accountId,
            path,
            kept_fields: fields.toString(),
            expires_at: new Date(now + forMs).toISOString(),
          })
          .execute();
      });
    },

    async find(tokenHash) {
      const row = await db
        .selectFrom('kept_forms')
        .select(['account_id', 'path', 'kept_fields'])
        .where('token_hash', '=', tokenHash)
        .where('expires_at', '>', clock().toISOString())
        .executeTakeFirst();
      return row ? { accountId: row.account_id, path: row.path, fields: new URLSearchParams(row.kept_fields) } : null;
    },

    async drop(tokenHash) {
      await db
        .transaction()
        .execute((trx) => trx.deleteFrom('kept_forms').where('token_hash', '=', tokenHash).execute());
    },
  };
}
