import { createHash } from 'node:crypto';
import { sql } from 'kysely';
import { StoreError } from './store-error.ts';
import { pages, type Row, TABLES_IN_ORDER, type TableName } from './table-pages.ts';
import type { Database } from './tables.ts';

export interface MovedTable {
  readonly table: TableName;
  readonly rows: number;
  /** SHA-256 over the hashes of the rows in their own order, so that no database's way of sorting matters. */
  readonly hash: string;
}

function createDigest() {
  const hashes: string[] = [];
  return {
    add(row: Row) {
      const values = Object.keys(row)
        .toSorted()
        .map((column) => [column, row[column]]);
      hashes.push(createHash('sha256').update(JSON.stringify(values)).digest('hex'));
    },
    sum: (table: TableName): MovedTable => ({
      table,
      rows: hashes.length,
      hash: createHash('sha256').update(hashes.toSorted().join('\n')).digest('hex'),
    }),
  };
}

async function refuseRows(db: Database): Promise<void> {
  for (const table of TABLES_IN_ORDER) {
    const found = await sql`select 1 from ${sql.table(table)} limit 1`.execute(db);
    if (found.rows.length > 0)
      throw new StoreError(`The target is not empty: there are rows in ${table}. Nothing was moved.`);
  }
}

async function copy(table: TableName, from: Database, to: Database): Promise<MovedTable> {
  const digest = createDigest();
  for await (const rows of pages(from, table)) {
    for (const row of rows) digest.add(row);
    await to
      .insertInto(table)
      .values(rows as never)
      .execute();
  }
  return digest.sum(table);
}

export async function digestOf(table: TableName, db: Database): Promise<MovedTable> {
  const digest = createDigest();
  for await (const rows of pages(db, table)) for (const row of rows) digest.add(row);
  return digest.sum(table);
}

/** Copies every table from one transaction into another, whose tables must be empty. Throws `StoreError`. */
export async function copyStore(from: Database, to: Database): Promise<readonly MovedTable[]> {
  await refuseRows(to);
  const moved: MovedTable[] = [];
  for (const table of TABLES_IN_ORDER) moved.push(await copy(table, from, to));
  return moved;
}

/** Reads again what was written: counts and hashes must agree. Throws `StoreError`. */
export async function verifyStore(moved: readonly MovedTable[], to: Database): Promise<void> {
  for (const { table, rows, hash } of moved) {
    const there = await digestOf(table, to);
    if (there.rows !== rows || there.hash !== hash) {
      throw new StoreError(`What was written to ${table} reads differently. Nothing was moved.`);
    }
  }
}
