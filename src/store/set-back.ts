import type { Database } from './tables.ts';

/** No pause after a try is longer, nor what a receiver may ask for. */
const LONGEST_PAUSE_MS = 25 * 60 * 60 * 1000;

/** Makes due at `at` (ISO 8601) what was meant to be, but was put or paused by a clock that was ahead; gives how many. */
export async function setBack(db: Database, at: string): Promise<number> {
  const latest = new Date(Date.parse(at) + LONGEST_PAUSE_MS).toISOString();
  const { numUpdatedRows } = await db.transaction().execute((trx) =>
    trx
      .updateTable('outbox')
      .set({ due_at: at })
      .where('state', '=', 'waiting')
      .where('due_at', '>', at)
      .where(({ or, and, eb, ref }) =>
        or([
          and([eb('attempts', '=', 0), eb('created_at', '>', at), eb('due_at', '<=', ref('created_at'))]),
          and([eb('attempts', '>', 0), eb('due_at', '>', latest)]),
        ]),
      )
      .executeTakeFirstOrThrow(),
  );
  return Number(numUpdatedRows);
}
