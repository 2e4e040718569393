import { randomUUID } from 'node:crypto';
import type { Transaction } from 'kysely';
import { isFree, type Stay } from '#shared/events/free-times.ts';
import { eventAlone, heldOf, takenTimes } from './events.ts';
import { minutesOfCars } from './family-cases.ts';
import type { TurnCommit } from './store.ts';
import type { Tables } from './tables.ts';

type Writing = Transaction<Tables>;

/** A time that a family wants at its event, and the hash of its private link to the calendar file. */
export interface Booking extends Stay {
  readonly linkHash: string | null;
}

/** What the board says of a family, from its summary, and the minutes of all its cars. */
async function described(trx: Writing, { language, summary, conversationId }: TurnCommit) {
  if (!summary) return { language };
  const interpreter = summary.assessment.visit.skills.includes('interpreter') ? (1 as const) : (0 as const);
  return { language, interpreter, needed_minutes: await minutesOfCars(trx, conversationId) };
}

/** Whether the family has come already: from then on its time is the team's to change. */
const isThere = async (trx: Writing, conversationId: string): Promise<boolean> =>
  (await trx
    .selectFrom('arrivals')
    .select('id')
    .where('conversation_id', '=', conversationId)
    .where('state', 'in', ['arrived', 'done'])
    .executeTakeFirst()) !== undefined;

async function book(trx: Writing, turn: TurnCommit, { start, minutes, linkHash }: Booking): Promise<boolean> {
  const { conversationId, eventId, at } = turn;
  const event = eventId === null ? null : await eventAlone(trx, eventId);
  const held = event && heldOf(event);
  if (!event || !held || (await isThere(trx, conversationId))) return false;
  if (!isFree(held, await takenTimes(trx, event.id, { conversationId }), { start, minutes })) return false;
  const row = {
    event_id: event.id,
    starts_at: start,
    minutes,
    state: 'booked' as const,
    link_hash: linkHash,
    updated_at: at,
    needed_minutes: minutes,
    interpreter: 0 as const,
    ...(await described(trx, turn)),
  };
  await trx
    .insertInto('arrivals')
    .values({
      ...row,
      id: randomUUID(),
      conversation_id: conversationId,
      walk_in_name: null,
      arrived_at: null,
      account_id: null,
      created_at: at,
    })
    .onConflict((conflict) => conflict.column('conversation_id').doUpdateSet(row))
    .execute();
  return true;
}

/**
 * Books, moves or gives back the time of a conversation in the transaction of its turn, and keeps what the board says of
 * the family. False: the time was taken meanwhile, and the turn is not to be written.
 */
export async function putBooking(trx: Writing, turn: TurnCommit): Promise<boolean> {
  const { conversationId, booking, state, eventId } = turn;
  const old = trx.deleteFrom('arrivals').where('conversation_id', '=', conversationId);
  if (state === 'deleted') await old.execute();
  else if (booking === null) await old.where('state', 'in', ['booked', 'no-show']).execute();
  if (state === 'deleted' || booking === null) return true;
  if (booking) return book(trx, turn, booking);
  if (eventId !== null)
    await trx
      .updateTable('arrivals')
      .set(await described(trx, turn))
      .where('conversation_id', '=', conversationId)
      .execute();
  return true;
}
