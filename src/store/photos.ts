import type { Transaction } from 'kysely';
import { z } from 'zod';
import type { LabelFields } from '#dialogs/understanding/label-print.ts';
import type { Backend } from './backend.ts';
import { jsonOrNull } from './json.ts';
import type { KnownCase } from './reminders.ts';
import type { Tables } from './tables.ts';

/** So many photos are kept of one family: three seats with two labels each, and some that did not come out. */
export const MOST_PHOTOS = 10;

/** A photo as it was taken in: JPEG without metadata. */
export interface NewPhoto {
  readonly id: string;
  /** Whose seat was asked about when it came; null where none was. */
  readonly childId: string | null;
  readonly picture: Buffer;
  readonly thumbnail: Buffer;
  /** What was read of it; empty where nothing was. */
  readonly fields: LabelFields;
}

export interface KeptPhoto extends Pick<NewPhoto, 'id' | 'childId' | 'fields'> {
  readonly receivedAt: string;
}

export interface PhotoStore {
  /** The photos of a case without their pictures, in the order in which they came. */
  of(reference: string): Promise<readonly KeptPhoto[]>;
  count(conversationId: string): Promise<number>;
  /** A photo as JPEG; null where there is none, or it cannot be opened. */
  picture(conversationId: string, id: string, size: 'whole' | 'small'): Promise<Buffer | null>;
  /** False where there was none. */
  remove(conversationId: string, id: string): Promise<boolean>;
}

const fieldsSchema = z.record(
  z.string(),
  z.object({ value: z.union([z.string(), z.number()]), confidence: z.number() }),
);

/** Keeps the photos of a turn in its transaction, of which no conversation has more than `MOST_PHOTOS`. */
export async function putPhotos(
  trx: Transaction<Tables>,
  { reference, conversationId }: KnownCase,
  photos: readonly NewPhoto[],
  at: string,
): Promise<void> {
  for (const { id, childId, picture, thumbnail, fields } of photos)
    await trx
      .insertInto('label_photos')
      .values({
        id,
        conversation_id: conversationId,
        reference,
        child_id: childId,
        received_at: at,
        photo: picture.toString('base64'),
        thumbnail: thumbnail.toString('base64'),
        photo_reading: JSON.stringify(fields),
      })
      .execute();
}

/** Photos stand beside a case only: without it they go. `but`: those of these cases stay. */
export const dropPhotos = (trx: Transaction<Tables>, conversationId: string, but: readonly string[] = []) =>
  trx
    .deleteFrom('label_photos')
    .where('conversation_id', '=', conversationId)
    .$if(but.length > 0, (all) =>
      all.where((eb) => eb.or([eb('reference', 'is', null), eb('reference', 'not in', but)])),
    )
    .execute();

/** Photos as the desk reads them; they are written by `ConversationStore.commit`. */
export function photoStore({ db, wipe }: Backend): PhotoStore {
  return {
    async of(reference) {
      const rows = await db
        .selectFrom('label_photos')
        .select(['id', 'child_id', 'received_at', 'photo_reading'])
        .where('reference', '=', reference)
        .orderBy('received_at')
        .orderBy('id')
        .execute();
      return rows.map((row) => ({
        id: row.id,
        childId: row.child_id,
        receivedAt: row.received_at,
        fields: fieldsSchema.safeParse(jsonOrNull(row.photo_reading)).data ?? {},
      }));
    },

    async count(conversationId) {
      const { number } = await db
        .selectFrom('label_photos')
        .select((eb) => eb.fn.countAll().as('number'))
        .where('conversation_id', '=', conversationId)
        .executeTakeFirstOrThrow();
      return Number(number);
    },

    async picture(conversationId, id, size) {
      const column = size === 'whole' ? 'photo' : 'thumbnail';
      const row = await db
        .selectFrom('label_photos')
        .select(column)
        .where('conversation_id', '=', conversationId)
        .where('id', '=', id)
        .executeTakeFirst();
      const text = row?.[column];
      return text ? Buffer.from(text, 'base64') : null;
    },

    async remove(conversationId, id) {
      const { numDeletedRows } = await db
        .transaction()
        .execute((trx) =>
          trx
            .deleteFrom('label_photos')
            .where('conversation_id', '=', conversationId)
            .where('id', '=', id)
            .executeTakeFirstOrThrow(),
        );
      if (numDeletedRows > 0n) await wipe();
      return numDeletedRows > 0n;
    },
  };
}
