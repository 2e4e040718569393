import { existsSync } from 'node:fs';
import { copyStore, type MovedTable, verifyStore } from './copy-store.ts';
import { openBackend, openEmbedded } from './open-store.ts';
import { StoreError } from './store-error.ts';

/**
 * Copies every table of an embedded database into an empty PostgreSQL, and reads both again: counts and hashes must agree.
 * All or nothing; the source is held still meanwhile and keeps its rows. Throws `StoreError`.
 */
export async function moveStore({
  from,
  to,
}: {
  readonly from: string;
  readonly to: string;
}): Promise<readonly MovedTable[]> {
  if (!existsSync(from)) throw new StoreError(`There is no database file ${from}.`);
  const source = await openEmbedded(from);
  try {
    const target = await openBackend({ dataDir: '', databaseUrl: to });
    try {
      return await source.db.transaction().execute((reading) =>
        target.db.transaction().execute(async (writing) => {
          const moved = await copyStore(reading, writing);
          await verifyStore(moved, writing);
          return moved;
        }),
      );
    } finally {
      await target.close();
    }
  } finally {
    await source.close();
  }
}
