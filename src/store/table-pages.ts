import { type Kysely, sql } from 'kysely';
import type { Tables } from './tables.ts';

export type TableName = keyof Tables;

/** Every table, each after those its rows point to. */
export const TABLES_IN_ORDER = [
  'conversations',
  'thread',
  'activities',
  'cases',
  'events',
  'arrivals',
  'accounts',
  'first_links',
  'password_links',
  'sessions',
  'guesses',
  'kept_forms',
  'audit',
  'outbox',
  'opt_outs',
  'visit_entries',
  'take_home_links',
  'label_photos',
  'team_calendars',
  'sealing_keys',
] as const satisfies readonly TableName[];

export type Row = Readonly<Record<string, unknown>>;

const ROWS_AT_ONCE = 200;
/** Of rows with a photo in each, of a megabyte or more. */
const PHOTOS_AT_ONCE = 4;

/** The columns of a table's primary key, by which it can be read in pages. */
export const KEYS: Readonly<Record<TableName, readonly string[]>> = {
  conversations: ['id'],
  thread: ['conversation_id', 'seq'],
  activities: ['conversation_id', 'activity_id'],
  cases: ['reference'],
  events: ['id'],
  arrivals: ['id'],
  accounts: ['id'],
  first_links: ['token_hash'],
  password_links: ['token_hash'],
  sessions: ['token_hash'],
  guesses: ['key'],
  kept_forms: ['token_hash'],
  audit: ['id'],
  outbox: ['id'],
  opt_outs: ['conversation_id'],
  visit_entries: ['reference', 'seq'],
  take_home_links: ['token_hash'],
  label_photos: ['id'],
  team_calendars: ['account_id'],
  sealing_keys: ['key_id'],
};

/** A table page by page, in the order of its key. */
export async function* pages(db: Kysely<Tables>, table: TableName): AsyncGenerator<readonly Row[]> {
  const key = KEYS[table];
  const columns = sql.join(key.map((column) => sql.ref(column)));
  let last: Row | null = null;
  const atOnce = table === 'label_photos' ? PHOTOS_AT_ONCE : ROWS_AT_ONCE;
  for (;;) {
    const after: ReturnType<typeof sql> = last
      ? sql`where (${columns}) > (${sql.join(key.map((column) => (last as Row)[column]))})`
      : sql``;
    const { rows } = await sql<Row>`
      select * from ${sql.table(table)} ${after} order by ${columns} limit ${sql.lit(atOnce)}`.execute(db);
    if (rows.length > 0) yield rows;
    if (rows.length < atOnce) return;
    last = rows.at(-1) ?? null;
  }
}
