import type { Kysely } from 'kysely';
import { preVisitSummarySchema } from '#shared/summary.ts';
import type { FieldCipher } from '#src/protection/field-cipher.ts';
import type { Backend } from './backend.ts';
import { searchText } from './case-search.ts';
import { jsonOrNull } from './json.ts';
import { SEALED_COLUMNS } from './sealed-columns.ts';
import { StoreError } from './store-error.ts';
import { KEYS, pages, type Row } from './table-pages.ts';
import type { Database, Tables } from './tables.ts';

type SealedTable = keyof typeof SEALED_COLUMNS;

/** Throws where values were sealed and no key is given, since they would be taken for damaged. */
export async function refuseSealed(db: Database): Promise<void> {
  const key = await db.selectFrom('sealing_keys').select('key_id').limit(1).executeTakeFirst();
  if (key) throw new StoreError('What people said is sealed in this database; it cannot be opened without its key.');
}

const unknownKey = (): StoreError =>
  new StoreError(
    'What people said is sealed in this database under a key that is not known here. Set LAPWING_SECRET_KEY to it, or LAPWING_SECRET_KEYS_OLD if it was replaced.',
  );

/** The values of a row that are not sealed under the present key, as they should be. */
function resealed(table: SealedTable, row: Row, cipher: FieldCipher): Row {
  const changes: Record<string, unknown> = {};
  for (const column of SEALED_COLUMNS[table]) {
    const stored = row[column];
    if (typeof stored !== 'string') continue;
    const opened = cipher.open(column, stored);
    if (!opened.ok && opened.reason === 'unknown-key') throw unknownKey();
    // What is damaged stays so, and is told of where it is read.
    if (!opened.ok || opened.current) continue;
    changes[column] = cipher.seal(column, opened.text);
    // Older versions kept whole notes in the words to search by.
    const summary = column === 'summary' ? preVisitSummarySchema.safeParse(jsonOrNull(opened.text)).data : undefined;
    if (summary) changes.search_text = searchText(summary);
  }
  return changes;
}

async function sealTable(db: Database, table: SealedTable, cipher: FieldCipher): Promise<void> {
  for await (const rows of pages(db, table)) {
    await db.transaction().execute(async (trx) => {
      for (const row of rows) {
        const changes = resealed(table, row, cipher);
        const names = Object.keys(changes);
        if (names.length === 0) continue;
        let update = (trx as unknown as Kysely<Record<string, Record<string, unknown>>>)
          .updateTable(table)
          .set(changes);
        // Not over what another instance has written since.
        for (const column of [...KEYS[table], ...names]) update = update.where(column, '=', row[column]);
        await update.execute();
      }
    });
  }
}

/**
 * Seals every value under the present key: those of a database from before there were keys, and those under an old one.
 * Nothing is read where that was done already. Cut off, it goes on at the next start. Throws `StoreError`.
 */
export async function sealAll({ db, wipe }: Backend, cipher: FieldCipher): Promise<void> {
  const known = await db.selectFrom('sealing_keys').selectAll().execute();
  if (known.length === 1 && known[0]?.key_id === cipher.keyId && known[0].everywhere === 1) return;
  // Before anything is written, so that a wrong key leaves no trace.
  if (known.some(({ key_id }) => !cipher.knows(key_id))) throw unknownKey();
  const row: Tables['sealing_keys'] = { key_id: cipher.keyId, everywhere: 0 };
  await db.transaction().execute((trx) =>
    trx
      .insertInto('sealing_keys')
      .values(row)
      .onConflict((conflict) => conflict.column('key_id').doUpdateSet({ everywhere: 0 }))
      .execute(),
  );
  for (const table of Object.keys(SEALED_COLUMNS) as SealedTable[]) await sealTable(db, table, cipher);
  await db.transaction().execute(async (trx) => {
    await trx.deleteFrom('sealing_keys').where('key_id', '!=', cipher.keyId).execute();
    await trx.updateTable('sealing_keys').set({ everywhere: 1 }).where('key_id', '=', cipher.keyId).execute();
  });
  await wipe();
}
