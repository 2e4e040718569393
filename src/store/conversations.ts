import type { Transaction } from 'kysely';
import { type RenderedReply, renderedReplySchema } from '#src/turns/rendered-reply.ts';
import type { Backend } from './backend.ts';
import { putBooking } from './booking.ts';
import { jsonOrNull } from './json.ts';
import { putCase } from './put-case.ts';
import { putEffects } from './put-effects.ts';
import { isSigned, putReminders } from './reminders.ts';
import type { ConversationStore, PlainLine, StoredConversation, ThreadEntry, TurnCommit } from './store.ts';
import { StoreError } from './store-error.ts';
import type { Tables } from './tables.ts';

/** Thrown inside the transaction to roll it back; `commit` turns them into its answer. */
class StaleTurn extends Error {}
class SlotTaken extends Error {}

type Writing = Transaction<Tables>;

function addressOf({ state, channelAddress }: TurnCommit): { channel_address?: string | null } {
  if (state === 'deleted') return { channel_address: null };
  return channelAddress === undefined ? {} : { channel_address: channelAddress };
}

/** Moves the conversation from the version the turn started from to the next; gives the new thread length. */
async function moveOn(trx: Writing, turn: TurnCommit): Promise<number> {
  const lines = turn.incoming ? 2 : 1;
  const values = {
    language: turn.language,
    state: turn.state,
    snapshot: turn.state === 'deleted' ? null : JSON.stringify(turn.snapshot ?? null),
    ...addressOf(turn),
    updated_at: turn.at,
  };
  if (turn.expectedVersion === 0) {
    const { numInsertedOrUpdatedRows } = await trx
      .insertInto('conversations')
      .values({
        ...values,
        id: turn.conversationId,
        channel: turn.channel,
        event_id: turn.eventId,
        version: 1,
        last_seq: lines,
        created_at: turn.at,
      })
      .onConflict((conflict) => conflict.doNothing())
      .executeTakeFirstOrThrow();
    if (numInsertedOrUpdatedRows !== 1n) throw new StaleTurn();
    return lines;
  }
  const moved = await trx
    .updateTable('conversations')
    .set((eb) => ({
      ...values,
      event_id: turn.eventId,
      version: eb('version', '+', 1),
      last_seq: eb('last_seq', '+', lines),
    }))
    .where('id', '=', turn.conversationId)
    .where('version', '=', turn.expectedVersion)
    .returning('last_seq')
    .executeTakeFirst();
  if (!moved) throw new StaleTurn();
  return moved.last_seq;
}

async function addLines(trx: Writing, turn: TurnCommit, lastSeq: number): Promise<void> {
  const { conversationId, incoming, reply, replyId, at } = turn;
  if (incoming) {
    const { numInsertedOrUpdatedRows } = await trx
      .insertInto('activities')
      .values({ conversation_id: conversationId, activity_id: incoming.activityId, reply_seq: lastSeq })
      .onConflict((conflict) => conflict.doNothing())
      .executeTakeFirstOrThrow();
    if (numInsertedOrUpdatedRows !== 1n) throw new StaleTurn();
    await trx
      .insertInto('thread')
      .values({
        conversation_id: conversationId,
        seq: lastSeq - 1,
        id: incoming.activityId,
        sender: 'caregiver',
        text: incoming.text,
        reply: null,
        reply_to: null,
        at,
      })
      .execute();
  }
  await trx
    .insertInto('thread')
    .values({
      conversation_id: conversationId,
      seq: lastSeq,
      id: replyId,
      sender: 'bot',
      text: reply.say.join('\n\n'),
      reply: JSON.stringify(reply),
      reply_to: incoming?.activityId ?? null,
      at,
    })
    .execute();
}

/** False when the line was there already, or there is no conversation to write it into. */
async function addPlainLine(trx: Writing, conversationId: string, line: PlainLine, at: string): Promise<boolean> {
  // The conversation's row is written first, so that of two deliveries at once the later sees the line of the other.
  const moved = await trx
    .updateTable('conversations')
    .set((eb) => ({ last_seq: eb('last_seq', '+', 1), updated_at: at }))
    .where('id', '=', conversationId)
    .where('state', '!=', 'deleted')
    .where(({ not, exists, selectFrom }) =>
      not(
        exists(
          selectFrom('thread').select('id').where('conversation_id', '=', conversationId).where('id', '=', line.id),
        ),
      ),
    )
    .returning('last_seq')
    .executeTakeFirst();
  if (!moved) return false;
  await trx
    .insertInto('thread')
    .values({
      conversation_id: conversationId,
      seq: moved.last_seq,
      id: line.id,
      sender: line.from,
      text: line.text,
      reply: null,
      reply_to: null,
      at,
    })
    .execute();
  return true;
}

/** Leaves the last reply, and the ids of what was answered: a delivery repeated after deletion is answered, not done again. */
async function forget(trx: Writing, conversationId: string, lastSeq: number): Promise<void> {
  await trx.deleteFrom('thread').where('conversation_id', '=', conversationId).where('seq', '<', lastSeq).execute();
  await trx
    .updateTable('activities')
    .set({ reply_seq: lastSeq })
    .where('conversation_id', '=', conversationId)
    .execute();
  await trx.deleteFrom('outbox').where('conversation_id', '=', conversationId).execute();
  await trx.deleteFrom('visit_entries').where('conversation_id', '=', conversationId).execute();
  await trx.deleteFrom('take_home_links').where('conversation_id', '=', conversationId).execute();
}

async function putOwnReminders(trx: Writing, { summary, reminders, conversationId, at }: TurnCommit): Promise<void> {
  if (!summary || !reminders || (await isSigned(trx, summary.reference))) return;
  await putReminders(trx, { reference: summary.reference, conversationId }, reminders, at);
}

function readReply(text: string | null): RenderedReply | null {
  const parsed = renderedReplySchema.safeParse(jsonOrNull(text));
  return parsed.success ? parsed.data : null;
}

function storedReply(row: { id: string; reply: string | null } | undefined) {
  if (!row) return null;
  const reply = readReply(row.reply);
  if (!reply) throw new StoreError(`The stored reply ${row.id} cannot be read.`);
  return { replyId: row.id, reply };
}

/** Conversations and their threads; see `ConversationStore` for what each function promises. */
export function conversationStore({ db, tell, listen, wipe }: Backend, onEffects: Backend['tell']): ConversationStore {
  return {
    async load(conversationId): Promise<StoredConversation | null> {
      const row = await db.selectFrom('conversations').selectAll().where('id', '=', conversationId).executeTakeFirst();
      if (!row) return null;
      return {
        id: row.id,
        channel: row.channel,
        eventId: row.event_id,
        language: row.language,
        state: row.state,
        version: row.version,
        snapshot: jsonOrNull(row.snapshot),
        channelAddress: row.channel_address,
        createdAt: row.created_at,
        updatedAt: row.updated_at,
      };
    },

    async replyTo(conversationId, activityId) {
      return storedReply(
        await db
          .selectFrom('activities')
          .innerJoin('thread', (join) =>
            join
              .onRef('thread.conversation_id', '=', 'activities.conversation_id')
              .onRef('thread.seq', '=', 'activities.reply_seq'),
          )
          .select(['thread.id', 'thread.reply'])
          .where('activities.conversation_id', '=', conversationId)
          .where('activities.activity_id', '=', activityId)
          .executeTakeFirst(),
      );
    },

    async lastReply(conversationId) {
      return storedReply(
        await db
          .selectFrom('thread')
          .select(['id', 'reply'])
          .where('conversation_id', '=', conversationId)
          .where('sender', '=', 'bot')
          .orderBy('seq', 'desc')
          .limit(1)
          .executeTakeFirst(),
      );
    },

    async commit(turn) {
      try {
        await db.transaction().execute(async (trx) => {
          const lastSeq = await moveOn(trx, turn);
          await addLines(trx, turn, lastSeq);
          if (turn.state === 'deleted') await forget(trx, turn.conversationId, lastSeq);
          await putCase(trx, turn);
          if (!(await putBooking(trx, turn))) throw new SlotTaken();
          await putEffects(trx, turn.conversationId, turn.effects, turn.at);
          await putOwnReminders(trx, turn);
        });
        if (turn.state === 'deleted') await wipe();
        tell(turn.conversationId);
        if (turn.effects.length > 0) onEffects(turn.conversationId);
        return 'committed';
      } catch (error) {
        if (error instanceof StaleTurn) return 'stale';
        if (error instanceof SlotTaken) return 'slot-taken';
        throw error;
      }
    },

    async note(conversationId, lines, at, effects = []) {
      await db.transaction().execute(async (trx) => {
        let added = false;
        for (const line of lines) added = (await addPlainLine(trx, conversationId, line, at)) || added;
        if (added) await putEffects(trx, conversationId, effects, at);
      });
      tell(conversationId);
      if (effects.length > 0) onEffects(conversationId);
    },

    watch: listen,

    async thread(conversationId, watermark): Promise<readonly ThreadEntry[]> {
      const rows = await db
        .selectFrom('thread')
        .selectAll()
        .where('conversation_id', '=', conversationId)
        .where('seq', '>', watermark)
        .orderBy('seq')
        .execute();
      return rows.map((row) => ({
        seq: row.seq,
        id: row.id,
        from: row.sender,
        text: row.text,
        reply: readReply(row.reply),
        replyTo: row.reply_to,
        at: row.at,
      }));
    },
  };
}
