import { jsonOrNull } from './json.ts';
import type { Effect } from './store.ts';
import type { Database } from './tables.ts';

/** Work that a committed turn has asked for and that is not done yet. */
export interface OutboxEntry extends Effect {
  readonly id: string;
  readonly conversationId: string;
  readonly dueAt: string;
  readonly attempts: number;
}

export interface OutboxStore {
  /** What waits and is due by `at` (ISO 8601), the longest waiting first. */
  due(at: string, limit: number): Promise<readonly OutboxEntry[]>;
}

/** The outbox; its rows are written by `ConversationStore.commit`, in the turn's transaction. */
export function outboxStore(db: Database): OutboxStore {
  return {
    async due(at, limit) {
      const rows = await db
        .selectFrom('outbox')
        .selectAll()
        .where('state', '=', 'waiting')
        .where('due_at', '<=', at)
        .orderBy('due_at')
        .orderBy('id')
        .limit(limit)
        .execute();
      return rows.map((row) => ({
        id: row.id,
        conversationId: row.conversation_id,
        kind: row.kind,
        idempotencyKey: row.idempotency_key,
        payload: jsonOrNull(row.payload),
        dueAt: row.due_at,
        attempts: row.attempts,
      }));
    },
  };
}
