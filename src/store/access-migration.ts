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
