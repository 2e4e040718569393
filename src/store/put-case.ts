import type { Transaction } from 'kysely';
import { caseRow } from './case-row.ts';
import { dropPhotos, putPhotos } from './photos.ts';
import type { TurnCommit } from './store.ts';
import { StoreError } from './store-error.ts';
import type { Tables } from './tables.ts';

/**
 * Keeps the case of a turn and its photos beside the cases of the family's other cars; whatever else the conversation had
 * goes. Throws `StoreError` where the reference is another conversation's.
 */
export async function putCase(trx: Transaction<Tables>, turn: TurnCommit): Promise<void> {
  const summary = turn.state === 'deleted' ? null : turn.summary;
  const old = trx.deleteFrom('cases').where('conversation_id', '=', turn.conversationId);
  if (!summary) {
    await old.execute();
    await dropPhotos(trx, turn.conversationId);
    return;
  }
  const begunAnew = await old
    .where('reference', 'not in', [summary.reference, ...turn.earlier])
    .executeTakeFirstOrThrow();
  if (begunAnew.numDeletedRows > 0n || turn.startsOver) await dropPhotos(trx, turn.conversationId, turn.earlier);
  const row = caseRow(turn.conversationId, summary, turn.at);
  const { reference: _reference, conversation_id: _id, created_at: _since, ...changing } = row;
  const { numInsertedOrUpdatedRows } = await trx
    .insertInto('cases')
    .values(row)
    .onConflict((conflict) =>
      conflict.column('reference').doUpdateSet(changing).where('cases.conversation_id', '=', turn.conversationId),
    )
    .executeTakeFirstOrThrow();
  if (numInsertedOrUpdatedRows !== 1n) throw new StoreError('A reference belongs to another conversation already.');
  const { reference } = summary;
  await putPhotos(trx, { reference, conversationId: turn.conversationId }, turn.photos ?? [], turn.at);
}
