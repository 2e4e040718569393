import type { Backend } from './backend.ts';
import { ASKED_KEY, REMINDER_KEY } from './reminders.ts';

/** How many rows went. */
export interface Purged {
  readonly conversations: number;
  readonly cases: number;
  readonly outbox: number;
  readonly audit: number;
}

/** So many conversations go in one transaction, so that nobody waits long for it. */
const AT_ONCE = 100;

/**
 * Deletes conversations whose last activity is older, with their thread, case and outbox rows; but for families that
 * asked to be reminded, until they were.
 */
async function purgeConversations({ db, skipsLocked }: Backend, before: string, limit: number) {
  return db.transaction().execute(async (trx) => {
    const old = trx
      .selectFrom('conversations')
      .select('id')
      .where('updated_at', '<', before)
      .where(({ not, exists, selectFrom }) =>
        not(
          exists(
            selectFrom('outbox')
              .select('outbox.id')
              .whereRef('outbox.conversation_id', '=', 'conversations.id')
              .where('outbox.state', '=', 'waiting')
              .where('outbox.idempotency_key', 'like', `%:${ASKED_KEY}%`),
          ),
        ),
      )
      .orderBy('updated_at')
      .limit(limit);
    // One that somebody is just writing to is active again.
    const rows = await (skipsLocked ? old.forUpdate().skipLocked() : old).execute();
    const ids = rows.map(({ id }) => id);
    if (ids.length === 0) return { conversations: 0, cases: 0, outbox: 0 };
    const cases = await trx.deleteFrom('cases').where('conversation_id', 'in', ids).executeTakeFirstOrThrow();
    const outbox = await trx.deleteFrom('outbox').where('conversation_id', 'in', ids).executeTakeFirstOrThrow();
    // The thread and what was answered go with their conversation.
    await trx.deleteFrom('conversations').where('id', 'in', ids).execute();
    return {
      conversations: ids.length,
      cases: Number(cases.numDeletedRows),
      outbox: Number(outbox.numDeletedRows),
    };
  });
}

/**
 * Deletes what is older than an instant (ISO 8601): conversations by their last activity, with all that hangs on them;
 * outbox rows (but for reminders that wait) and audit rows by when they were made; sessions of the desk that ran out before it.
 */
export async function purge(backend: Backend, before: string): Promise<Purged> {
  const sum = { conversations: 0, cases: 0, outbox: 0 };
  for (;;) {
    const gone = await purgeConversations(backend, before, AT_ONCE);
    sum.conversations += gone.conversations;
    sum.cases += gone.cases;
    sum.outbox += gone.outbox;
    if (gone.conversations < AT_ONCE) break;
  }
  const rest = await backend.db.transaction().execute(async (trx) => {
    await trx.deleteFrom('sessions').where('expires_at', '<', before).execute();
    await trx.deleteFrom('kept_forms').where('expires_at', '<', before).execute();
    await trx.deleteFrom('guesses').where('at', '<', before).execute();
    const outbox = await trx
      .deleteFrom('outbox')
      .where('created_at', '<', before)
      .where(({ eb, or }) =>
        or([eb('state', '!=', 'waiting'), eb('idempotency_key', 'not like', `%:${REMINDER_KEY}%`)]),
      )
      .executeTakeFirstOrThrow();
    // Walk-ins have no conversation that they could go with.
    await trx.deleteFrom('arrivals').where('conversation_id', 'is', null).where('created_at', '<', before).execute();
    const audit = await trx.deleteFrom('audit').where('at', '<', before).executeTakeFirstOrThrow();
    return { outbox: Number(outbox.numDeletedRows), audit: Number(audit.numDeletedRows) };
  });
  if (sum.conversations > 0 || rest.outbox > 0) await backend.wipe();
  return { ...sum, outbox: sum.outbox + rest.outbox, audit: rest.audit };
}
