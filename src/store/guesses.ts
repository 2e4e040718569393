import type { Clock } from '#src/clock.ts';
import type { Database } from './tables.ts';

/** After so long without a wrong try, counting begins anew. */
const FORGOTTEN_MS = 24 * 60 * 60 * 1000;

export interface GuessStore {
  /** Milliseconds until all of these keys may be tried again; 0: now. */
  wait(keys: readonly string[]): Promise<number>;
  /** Counts a wrong try under a key. `delayMs` gives the wait after that many in a row; the answer is that wait. */
  count(key: string, delayMs: (failures: number) => number): Promise<number>;
  clear(keys: readonly string[]): Promise<void>;
}

/** Wrong tries in a row. Keys are hashes: neither a name nor an address is stored. */
export function guessStore(db: Database, clock: Clock): GuessStore {
  return {
    async wait(keys) {
      if (keys.length === 0) return 0;
      const rows = await db.selectFrom('guesses').select('not_before').where('key', 'in', keys).execute();
      const now = clock().getTime();
      return Math.max(0, ...rows.map(({ not_before }) => (not_before ? Date.parse(not_before) - now : 0)));
    },

    count: (key, delayMs) =>
      db.transaction().execute(async (trx) => {
        const now = clock().getTime();
        const at = new Date(now).toISOString();
        await trx
          .deleteFrom('guesses')
          .where('at', '<', new Date(now - FORGOTTEN_MS).toISOString())
          .execute();
        const { failures } = await trx
          .insertInto('guesses')
          .values({ key, failures: 1, not_before: null, at })
          .onConflict((conflict) =>
            conflict.column('key').doUpdateSet((eb) => ({ failures: eb('guesses.failures', '+', 1), at })),
          )
          .returning('failures')
          .executeTakeFirstOrThrow();
        const delay = delayMs(failures);
        const notBefore = delay > 0 ? new Date(now + delay).toISOString() : null;
        await trx.updateTable('guesses').set({ not_before: notBefore }).where('key', '=', key).execute();
        return delay;
      }),

    async clear(keys) {
      if (keys.length > 0)
        await db.transaction().execute((trx) => trx.deleteFrom('guesses').where('key', 'in', keys).execute());
    },
  };
}
