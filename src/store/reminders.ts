import type { Transaction } from 'kysely';
import { putEffects } from './put-effects.ts';
import type { Effect } from './store.ts';
import type { Tables } from './tables.ts';

/** Stands in the idempotency keys of reminders; `asked`: the family wants it, and so its data are kept until it was sent. */
export const REMINDER_KEY = 'reminder:';
export const ASKED_KEY = `${REMINDER_KEY}asked:`;

export const isReminderKey = (idempotencyKey: string): boolean => idempotencyKey.includes(`:${REMINDER_KEY}`);

/** A case, and the conversation that it came from. */
export interface KnownCase {
  readonly reference: string;
  readonly conversationId: string;
}

/** Puts the reminders of a case in the place of those of it that still wait. One that was sent is not sent again. */
export async function putReminders(
  trx: Transaction<Tables>,
  { reference, conversationId }: KnownCase,
  reminders: readonly Effect[],
  at: string,
): Promise<void> {
  await trx
    .deleteFrom('outbox')
    .where('reference', '=', reference)
    .where('kind', '=', 'caregiver-message')
    .where('state', '=', 'waiting')
    .where('attempts', '=', 0)
    .where('idempotency_key', 'like', `%:${REMINDER_KEY}%`)
    .execute();
  await putEffects(trx, conversationId, reminders, at);
}

/** Whether the record of the case's visit is signed, which says more than the interview. */
export const isSigned = async (trx: Transaction<Tables>, reference: string): Promise<boolean> =>
  (await trx
    .selectFrom('visit_entries')
    .select('seq')
    .where('reference', '=', reference)
    .where('kind', '=', 'sign-off')
    .executeTakeFirst()) !== undefined;
