import type { Kysely, Migration } from 'kysely';

/** Opening hours of events, the languages of their teams, and who comes when. */
export const eventSlots: Migration = {
  async up(db: Kysely<unknown>) {
    const events = () => db.schema.alterTable('events');
    for (const column of ['opens_at', 'closes_at']) await events().addColumn(column, 'text').execute();
    await events().addColumn('step_minutes', 'integer').execute();
    await events().addColumn('technicians', 'integer').execute();
    await events()
      .addColumn('languages', 'text', (c) => c.notNull().defaultTo('[]'))
      .execute();
    await events()
      .addColumn('version', 'integer', (c) => c.notNull().defaultTo(1))
      .execute();
    await events()
      .addColumn('bookings_made', 'integer', (c) => c.notNull().defaultTo(0))
      .execute();
    await db.schema
      .createTable('arrivals')
      .addColumn('id', 'text', (c) => c.primaryKey())
      .addColumn('event_id', 'text', (c) => c.notNull().references('events.id'))
      .addColumn('conversation_id', 'text', (c) => c.unique().references('conversations.id').onDelete('cascade'))
      .addColumn('starts_at', 'text')
      .addColumn('minutes', 'integer', (c) => c.notNull())
      .addColumn('needed_minutes', 'integer', (c) => c.notNull())
      .addColumn('state', 'text', (c) => c.notNull())
      .addColumn('language', 'text', (c) => c.notNull())
      .addColumn('interpreter', 'integer', (c) => c.notNull())
      .addColumn('walk_in_name', 'text')
      .addColumn('link_hash', 'text', (c) => c.unique())
      .addColumn('created_at', 'text', (c) => c.notNull())
      .addColumn('updated_at', 'text', (c) => c.notNull())
      .execute();
    await db.schema.createIndex('arrivals_in_order').on('arrivals').columns(['event_id', 'starts_at', 'id']).execute();
    await db.schema.createIndex('cases_by_event').on('cases').columns(['event_id', 'reference']).execute();
  },
};

/** When families arrived, who sees whom, and the private links to technicians' calendar files. */
export const eventBoard: Migration = {
  async up(db: Kysely<unknown>) {
    for (const column of ['arrived_at', 'account_id'])
      await db.schema.alterTable('arrivals').addColumn(column, 'text').execute();
    await db.schema.createIndex('arrivals_by_account').on('arrivals').columns(['account_id', 'starts_at']).execute();
    await db.schema
      .createTable('team_calendars')
      .addColumn('account_id', 'text', (c) => c.primaryKey().references('accounts.id').onDelete('cascade'))
      .addColumn('token_hash', 'text', (c) => c.notNull().unique())
      .addColumn('created_at', 'text', (c) => c.notNull())
      .execute();
  },
};
