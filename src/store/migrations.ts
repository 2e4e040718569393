import type { Kysely, Migration } from 'kysely';
import { preVisitSummarySchema } from '#shared/summary.ts';
import { access, guarding, reportRides, reportSeen } from './access-migration.ts';
import { casesByCar } from './car-migration.ts';
import { searchText } from './case-search.ts';
import { eventBoard, eventSlots } from './event-migration.ts';
import { jsonOrNull } from './json.ts';
import { labelPhotos } from './photo-migration.ts';
import type { Tables } from './tables.ts';
import { guardVisitEntries } from './visit-guards.ts';

/** Plain text and integer columns: the same statements run on SQLite and on PostgreSQL. A landed migration never changes. */
const firstTables: Migration = {
  async up(db: Kysely<unknown>) {
    const { schema } = db;
    await schema
      .createTable('conversations')
      .addColumn('id', 'text', (c) => c.primaryKey())
      .addColumn('channel', 'text', (c) => c.notNull())
      .addColumn('event_id', 'text')
      .addColumn('language', 'text', (c) => c.notNull())
      .addColumn('state', 'text', (c) => c.notNull())
      .addColumn('version', 'integer', (c) => c.notNull())
      .addColumn('last_seq', 'integer', (c) => c.notNull())
      .addColumn('snapshot', 'text')
      .addColumn('created_at', 'text', (c) => c.notNull())
      .addColumn('updated_at', 'text', (c) => c.notNull())
      .execute();
    await schema
      .createTable('thread')
      .addColumn('conversation_id', 'text', (c) => c.notNull().references('conversations.id').onDelete('cascade'))
      .addColumn('seq', 'integer', (c) => c.notNull())
      .addColumn('id', 'text', (c) => c.notNull())
      .addColumn('sender', 'text', (c) => c.notNull())
      .addColumn('text', 'text', (c) => c.notNull())
      .addColumn('reply', 'text')
      .addColumn('reply_to', 'text')
      .addColumn('at', 'text', (c) => c.notNull())
      .addPrimaryKeyConstraint('thread_pk', ['conversation_id', 'seq'])
      .addUniqueConstraint('thread_id_unique', ['conversation_id', 'id'])
      .execute();
    await schema
      .createTable('activities')
      .addColumn('conversation_id', 'text', (c) => c.notNull().references('conversations.id').onDelete('cascade'))
      .addColumn('activity_id', 'text', (c) => c.notNull())
      .addColumn('reply_seq', 'integer', (c) => c.notNull())
      .addPrimaryKeyConstraint('activities_pk', ['conversation_id', 'activity_id'])
      .execute();
    await schema
      .createTable('cases')
      .addColumn('reference', 'text', (c) => c.primaryKey())
      .addColumn('conversation_id', 'text', (c) =>
        c.notNull().unique().references('conversations.id').onDelete('cascade'),
      )
      .addColumn('event_id', 'text')
      .addColumn('priority', 'integer', (c) => c.notNull())
      .addColumn('language', 'text', (c) => c.notNull())
      .addColumn('minutes', 'integer', (c) => c.notNull())
      .addColumn('complete', 'integer', (c) => c.notNull())
      .addColumn('person', 'integer', (c) => c.notNull())
      .addColumn('urgent_count', 'integer', (c) => c.notNull())
      .addColumn('visit_count', 'integer', (c) => c.notNull())
      .addColumn('verify_count', 'integer', (c) => c.notNull())
      .addColumn('children', 'text', (c) => c.notNull())
      .addColumn('summary', 'text', (c) => c.notNull())
      .addColumn('created_at', 'text', (c) => c.notNull())
      .addColumn('updated_at', 'text', (c) => c.notNull())
      .execute();
    await schema.createIndex('cases_in_order').on('cases').columns(['priority', 'created_at', 'reference']).execute();
    await schema
      .createTable('events')
      .addColumn('id', 'text', (c) => c.primaryKey())
      .addColumn('name', 'text', (c) => c.notNull())
      .addColumn('place', 'text', (c) => c.notNull())
      .addColumn('time_zone', 'text', (c) => c.notNull())
      .addColumn('held_on', 'text', (c) => c.notNull())
      .addColumn('created_at', 'text', (c) => c.notNull())
      .execute();
    await schema
      .createTable('accounts')
      .addColumn('id', 'text', (c) => c.primaryKey())
      .addColumn('name', 'text', (c) => c.notNull())
      .addColumn('name_key', 'text', (c) => c.notNull().unique())
      .addColumn('role', 'text', (c) => c.notNull())
      .addColumn('password_hash', 'text', (c) => c.notNull())
      .addColumn('failed_attempts', 'integer', (c) => c.notNull())
      .addColumn('not_before', 'text')
      .addColumn('created_at', 'text', (c) => c.notNull())
      .execute();
    await schema
      .createTable('first_links')
      .addColumn('token_hash', 'text', (c) => c.primaryKey())
      .addColumn('expires_at', 'text', (c) => c.notNull())
      .execute();
    await schema
      .createTable('sessions')
      .addColumn('token_hash', 'text', (c) => c.primaryKey())
      .addColumn('account_id', 'text', (c) => c.notNull().references('accounts.id').onDelete('cascade'))
      .addColumn('created_at', 'text', (c) => c.notNull())
      .addColumn('expires_at', 'text', (c) => c.notNull())
      .execute();
    await schema
      .createTable('audit')
      .addColumn('id', 'text', (c) => c.primaryKey())
      .addColumn('at', 'text', (c) => c.notNull())
      .addColumn('account_id', 'text')
      .addColumn('action', 'text', (c) => c.notNull())
      .addColumn('subject', 'text')
      .execute();
    await schema.createIndex('audit_by_subject').on('audit').columns(['subject', 'at']).execute();
    await schema
      .createTable('outbox')
      .addColumn('id', 'text', (c) => c.primaryKey())
      .addColumn('conversation_id', 'text', (c) => c.notNull())
      .addColumn('kind', 'text', (c) => c.notNull())
      .addColumn('payload', 'text', (c) => c.notNull())
      .addColumn('idempotency_key', 'text', (c) => c.notNull().unique())
      .addColumn('due_at', 'text', (c) => c.notNull())
      .addColumn('attempts', 'integer', (c) => c.notNull())
      .addColumn('state', 'text', (c) => c.notNull())
      .addColumn('created_at', 'text', (c) => c.notNull())
      .execute();
    await schema.createIndex('outbox_due').on('outbox').columns(['state', 'due_at']).execute();
    await schema.createIndex('outbox_by_conversation').on('outbox').column('conversation_id').execute();
  },
};

/** An effect becomes one row for each place it is handed to, each tried and counted by itself. */
const outboxDestinations: Migration = {
  async up(db: Kysely<unknown>) {
    await db.schema.alterTable('outbox').addColumn('destination', 'text').execute();
    await db.schema.alterTable('outbox').addColumn('last_error', 'text').execute();
  },
};

/** The desk's list: words to search by, and an index in its order that holds what it filters by. */
const caseSearch: Migration = {
  async up(db: Kysely<unknown>) {
    await db.schema
      .alterTable('cases')
      .addColumn('search_text', 'text', (c) => c.notNull().defaultTo(''))
      .execute();
    const cases = db.withTables<Pick<Tables, 'cases'>>();
    for (const { reference, summary } of await cases.selectFrom('cases').select(['reference', 'summary']).execute()) {
      const { data } = preVisitSummarySchema.safeParse(jsonOrNull(summary));
      if (data)
        await cases
          .updateTable('cases')
          .set({ search_text: searchText(data) })
          .where('reference', '=', reference)
          .execute();
    }
    await db.schema.dropIndex('cases_in_order').execute();
    await db.schema
      .createIndex('cases_in_list')
      .on('cases')
      .columns(['priority', 'created_at desc', 'reference desc', 'language', 'event_id', 'complete', 'person'])
      .execute();
  },
};

/** Which keys values are sealed under. */
const sealingKeys: Migration = {
  async up(db: Kysely<unknown>) {
    await db.schema
      .createTable('sealing_keys')
      .addColumn('key_id', 'text', (c) => c.primaryKey())
      .addColumn('everywhere', 'integer', (c) => c.notNull())
      .execute();
  },
};

/** What is too old is found without reading every conversation. */
const byActivity: Migration = {
  async up(db: Kysely<unknown>) {
    await db.schema.createIndex('conversations_by_activity').on('conversations').column('updated_at').execute();
    await db.schema.createIndex('audit_by_time').on('audit').column('at').execute();
  },
};

/** Where a conversation can be written to out of turn, on channels that have no feed of ours. */
const channelAddress: Migration = {
  async up(db: Kysely<unknown>) {
    await db.schema.alterTable('conversations').addColumn('channel_address', 'text').execute();
  },
};

/** Who wants no messages any more; no foreign key, since it outlives the conversation. */
const optOuts: Migration = {
  async up(db: Kysely<unknown>) {
    await db.schema
      .createTable('opt_outs')
      .addColumn('conversation_id', 'text', (c) => c.primaryKey())
      .addColumn('at', 'text', (c) => c.notNull())
      .execute();
  },
};

/** What technicians record at a visit, and the links to the sheets that went home. */
const visits: Migration = {
  async up(db: Kysely<unknown>) {
    await db.schema
      .createTable('visit_entries')
      .addColumn('conversation_id', 'text', (c) => c.notNull().references('conversations.id').onDelete('cascade'))
      .addColumn('seq', 'integer', (c) => c.notNull())
      .addColumn('id', 'text', (c) => c.notNull())
      .addColumn('kind', 'text', (c) => c.notNull())
      .addColumn('account_id', 'text', (c) => c.notNull())
      .addColumn('at', 'text', (c) => c.notNull())
      .addColumn('received_at', 'text', (c) => c.notNull())
      .addColumn('entry', 'text', (c) => c.notNull())
      .addPrimaryKeyConstraint('visit_entries_pk', ['conversation_id', 'seq'])
      .addUniqueConstraint('visit_entries_id_unique', ['conversation_id', 'id'])
      .execute();
    await guardVisitEntries(db, 'conversation_id');
    await db.schema
      .createTable('take_home_links')
      .addColumn('token_hash', 'text', (c) => c.primaryKey())
      .addColumn('conversation_id', 'text', (c) => c.notNull().references('conversations.id').onDelete('cascade'))
      .addColumn('created_at', 'text', (c) => c.notNull())
      .execute();
    await db.schema
      .createIndex('take_home_links_by_conversation')
      .on('take_home_links')
      .column('conversation_id')
      .execute();
  },
};

/** In the order in which they run; the names sort that way too. */
export const MIGRATIONS: Readonly<Record<string, Migration>> = {
  '0001-first-tables': firstTables,
  '0002-outbox-destinations': outboxDestinations,
  '0003-case-search': caseSearch,
  '0004-sealing-keys': sealingKeys,
  '0005-by-activity': byActivity,
  '0006-channel-address': channelAddress,
  '0007-opt-outs': optOuts,
  '0008-visits': visits,
  '0010-access': access,
  '0012-guarding': guarding,
  '0014-report-rides': reportRides,
  '0016-report-seen': reportSeen,
  '0018-event-slots': eventSlots,
  '0020-label-photos': labelPhotos,
  '0022-event-board': eventBoard,
  '0024-cases-by-car': casesByCar,
};
