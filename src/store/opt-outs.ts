import type { Database } from './tables.ts';

/** Conversations whose caregiver wants no messages out of it any more; kept past the conversation itself. */
export interface OptOutStore {
  add(conversationId: string, at: string): Promise<void>;
  remove(conversationIds: readonly string[]): Promise<void>;
  /** True where one of the ids was stopped. */
  has(conversationIds: readonly string[]): Promise<boolean>;
}

export function optOutStore(db: Database): OptOutStore {
  return {
    async add(conversation_id, at) {
      await db.transaction().execute((trx) =>
        trx
          .insertInto('opt_outs')
          .values({ conversation_id, at })
          .onConflict((conflict) => conflict.doNothing())
          .execute(),
      );
    },
    async remove(ids) {
      await db.transaction().execute((trx) =>
        trx
          .deleteFrom('opt_outs')
          .where('conversation_id', 'in', [...ids])
          .execute(),
      );
    },
    has: async (ids) =>
      (await db
        .selectFrom('opt_outs')
        .select('at')
        .where('conversation_id', 'in', [...ids])
        .limit(1)
        .executeTakeFirst()) !== undefined,
  };
}
