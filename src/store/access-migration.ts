import type { Kysely, Migration } from 'kysely';
import type { Tables } from './tables.ts';

/** Who sees which events, who is disabled, who comes from an identity provider. Accounts from before see everything. */
export const access: Migration = {
  async up(db: Kysely<unknown>) {
    const accounts = () => db.schema.alterTable('accounts');
    await accounts().addColumn('event_ids', 'text').execute();
    await accounts()
      .addColumn('disabled', 'integer', (c) => c.notNull().defaultTo(0))
      .execute();
    await accounts().addColumn('identity', 'text').execute();
    await db.schema.createIndex('accounts_by_identity').unique().on('accounts').column('identity').execute();
    await db.schema
      .createTable('password_links')
      .addColumn('token_hash', 'text', (c) => c.primaryKey())
      .addColumn('account_id', 'text', (c) => c.notNull().references('accounts.id').onDelete('cascade'))
      .addColumn('expires_at', 'text', (c) => c.notNull())
      .execute();
    // Until now there was one role and one account: a coordinator.
    await db.withTables<Pick<Tables, 'accounts'>>().updateTable('accounts').set({ role: 'coordinator' }).execute();
  },
};

/** When sessions were used last, wrong tries by name and address, and forms that met a session that had run out. */
export const guarding: Migration = {
  async up(db: Kysely<unknown>) {
    await db.schema.alterTable('sessions').addColumn('used_at', 'text').execute();
    await db.schema.alterTable('accounts').dropColumn('failed_attempts').execute();
    await db.schema.alterTable('accounts').dropColumn('not_before').execute();
    await db.schema
      .createTable('guesses')
      .addColumn('key', 'text', (c) => c.primaryKey())
      .addColumn('failures', 'integer', (c) => c.notNull())
      .addColumn('not_before', 'text')
      .addColumn('at', 'text', (c) => c.notNull())
      .execute();
    await db.schema
      .createTable('kept_forms')
      .addColumn('token_hash', 'text', (c) => c.primaryKey())
      .addColumn('account_id', 'text', (c) => c.notNull().references('accounts.id').onDelete('cascade'))
      .addColumn('path', 'text', (c) => c.notNull())
      .addColumn('kept_fields', 'text', (c) => c.notNull())
      .addColumn('expires_at', 'text', (c) => c.notNull())
      .execute();
    await db.schema.createIndex('audit_by_account').on('audit').columns(['account_id', 'at']).execute();
  },
};

/** What reports count, beside the summary it comes from; filled with the next change of a case. */
export const reportRides: Migration = {
  async up(db: Kysely<unknown>) {
    await db.schema.alterTable('cases').addColumn('rides', 'text').execute();
  },
};

/** What reports count of a visit, so that it is judged once for each state of its record. */
export const reportSeen: Migration = {
  async up(db: Kysely<unknown>) {
    await db.schema.alterTable('cases').addColumn('visit_seen', 'text').execute();
  },
};
