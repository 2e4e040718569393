import { type CreateTableBuilder, type Kysely, type Migration, sql } from 'kysely';
import { guardVisitEntries } from './visit-guards.ts';

const CASE_COLUMNS = [
  'reference',
  'conversation_id',
  'event_id',
  'priority',
  'language',
  'minutes',
  'complete',
  'person',
  'urgent_count',
  'visit_count',
  'verify_count',
  'children',
  'summary',
  'search_text',
  'created_at',
  'updated_at',
  'rides',
  'visit_seen',
] as const;
const WHOLE_NUMBERS = ['priority', 'minutes', 'complete', 'person', 'urgent_count', 'visit_count', 'verify_count'];
const MAY_LACK = ['event_id', 'rides', 'visit_seen'];

const ENTRY_COLUMNS = ['conversation_id', 'seq', 'id', 'kind', 'account_id', 'at', 'received_at', 'entry'] as const;

const listed = (columns: readonly string[]) => sql.join(columns.map((column) => sql.ref(column)));

/** SQLite drops no constraint, so the table is made anew, without "one case a conversation". */
async function severalCases(db: Kysely<unknown>): Promise<void> {
  const { schema } = db;
  await CASE_COLUMNS.slice(2)
    .reduce(
      (table, column) =>
        table.addColumn(column, WHOLE_NUMBERS.includes(column) ? 'integer' : 'text', (c) =>
          MAY_LACK.includes(column) ? c : c.notNull(),
        ),
      schema
        .createTable('cases_by_car')
        .addColumn('reference', 'text', (c) => c.primaryKey())
        .addColumn('conversation_id', 'text', (c) => c.notNull().references('conversations.id').onDelete('cascade')),
    )
    .execute();
  await sql`insert into cases_by_car (${listed(CASE_COLUMNS)}) select ${listed(CASE_COLUMNS)} from cases`.execute(db);
  await schema.dropTable('cases').execute();
  await schema.alterTable('cases_by_car').renameTo('cases').execute();
  await schema
    .createIndex('cases_in_list')
    .on('cases')
    .columns(['priority', 'created_at desc', 'reference desc', 'language', 'event_id', 'complete', 'person'])
    .execute();
  await schema.createIndex('cases_by_event').on('cases').columns(['event_id', 'reference']).execute();
  await schema.createIndex('cases_by_conversation').on('cases').column('conversation_id').execute();
}

/** Until now a conversation had one case, so what hung on the conversation is that one's. */
const itsCase = (table: string) =>
  sql`(select reference from cases where cases.conversation_id = ${sql.ref(`${table}.conversation_id`)})`;

/** Entries of a case that is gone keep the name of their conversation, which is no case's: they go with it. */
async function recordsByCase(db: Kysely<unknown>): Promise<void> {
  await ENTRY_COLUMNS.reduce<CreateTableBuilder<string, string>>(
    (table, column) =>
      table.addColumn(column, column === 'seq' ? 'integer' : 'text', (c) =>
        column === 'conversation_id' ? c.notNull().references('conversations.id').onDelete('cascade') : c.notNull(),
      ),
    db.schema.createTable('visit_entries_by_case').addColumn('reference', 'text', (c) => c.notNull()),
  )
    .addPrimaryKeyConstraint('visit_entries_by_case_pk', ['reference', 'seq'])
    .addUniqueConstraint('visit_entries_by_case_id_unique', ['reference', 'id'])
    .execute();
  await sql`insert into visit_entries_by_case (reference, ${listed(ENTRY_COLUMNS)})
    select coalesce(${itsCase('visit_entries')}, conversation_id), ${listed(ENTRY_COLUMNS)} from visit_entries`.execute(
    db,
  );
  await db.schema.dropTable('visit_entries').execute();
  await db.schema.alterTable('visit_entries_by_case').renameTo('visit_entries').execute();
  await db.schema.createIndex('visit_entries_by_conversation').on('visit_entries').column('conversation_id').execute();
  await guardVisitEntries(db, 'reference');
}

/** A family with two cars has a case for each: records, sheets, photos and reminders belong to a case, not to the conversation. */
export const casesByCar: Migration = {
  async up(db: Kysely<unknown>) {
    await severalCases(db);
    await recordsByCase(db);
    await db.schema.alterTable('take_home_links').addColumn('reference', 'text').execute();
    await sql`update take_home_links set reference = ${itsCase('take_home_links')}`.execute(db);
    await db.schema.alterTable('label_photos').addColumn('reference', 'text').execute();
    await sql`update label_photos set reference = ${itsCase('label_photos')}`.execute(db);
    await db.schema.alterTable('outbox').addColumn('reference', 'text').execute();
    await sql`update outbox set reference = ${itsCase('outbox')}`.execute(db);
    // Else a reminder that was sent would be sent again under the key it has from now on.
    await sql`update outbox set idempotency_key = idempotency_key || ':' || reference
      where reference is not null and kind = 'caregiver-message' and idempotency_key like '%:reminder:%'`.execute(db);
  },
};
