import type { Kysely, Migration } from 'kysely';

/** Photos that families send of labels, beside their case. */
export const labelPhotos: Migration = {
  async up(db: Kysely<unknown>) {
    await db.schema
      .createTable('label_photos')
      .addColumn('id', 'text', (c) => c.primaryKey())
      .addColumn('conversation_id', 'text', (c) => c.notNull().references('conversations.id').onDelete('cascade'))
      .addColumn('child_id', 'text')
      .addColumn('received_at', 'text', (c) => c.notNull())
      .addColumn('photo', 'text', (c) => c.notNull())
      .addColumn('thumbnail', 'text', (c) => c.notNull())
      .addColumn('photo_reading', 'text', (c) => c.notNull())
      .execute();
    await db.schema
      .createIndex('label_photos_in_order')
      .on('label_photos')
      .columns(['conversation_id', 'received_at', 'id'])
      .execute();
  },
};
