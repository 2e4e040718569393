import { randomUUID } from 'node:crypto';
import type { Transaction } from 'kysely';
import type { Effect } from './store.ts';
import type { Tables } from './tables.ts';

/** Sorts as the messages of one caregiver were put, also of those put within one millisecond. */
async function nextId(trx: Transaction<Tables>, conversationId: string): Promise<string> {
  const { put } = await trx
    .selectFrom('outbox')
    .select((eb) => eb.fn.countAll().as('put'))
    .where('conversation_id', '=', conversationId)
    .where('destination', '=', 'caregiver')
    .executeTakeFirstOrThrow();
  return `${String(put).padStart(6, '0')}-${randomUUID()}`;
}

/** Writes effects in the transaction of what caused them. One whose idempotency key is known is not written again. */
export async function putEffects(
  trx: Transaction<Tables>,
  conversationId: string,
  effects: readonly Effect[],
  at: string,
): Promise<void> {
  for (const { kind, payload, idempotencyKey, reference, dueAt } of effects)
    await trx
      .insertInto('outbox')
      .values({
        id: kind === 'caregiver-message' ? await nextId(trx, conversationId) : randomUUID(),
        conversation_id: conversationId,
        reference: reference ?? null,
        kind,
        payload: JSON.stringify(payload ?? null),
        idempotency_key: idempotencyKey,
        // A message to the caregiver has one way to go; notices are spread over the places that are set.
        destination: kind === 'caregiver-message' ? 'caregiver' : null,
        last_error: null,
        due_at: dueAt ?? at,
        attempts: 0,
        state: 'waiting',
        created_at: at,
      })
      .onConflict((conflict) => conflict.column('idempotency_key').doNothing())
      .execute();
}
