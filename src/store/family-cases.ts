import type { Transaction } from 'kysely';
import type { Database, Tables } from './tables.ts';

/**
 * The cases of each conversation put together, one row a family: it may have come to tell of two cars. `reference`: of the
 * first car, which the other one's begins with; `latest`: of the other car, or the same. Priority is that of the most urgent.
 */
export const casesOfFamilies = (db: Database) =>
  db
    .selectFrom('cases as own')
    .select('own.conversation_id')
    .select(({ fn }) => [
      fn.min('own.reference').as('reference'),
      fn.max('own.reference').as('latest'),
      fn.min('own.priority').as('priority'),
      fn.max('own.person').as('person'),
      fn.min('own.complete').as('complete'),
      fn.sum('own.urgent_count').as('urgent_count'),
      fn.sum('own.minutes').as('minutes'),
    ])
    .groupBy('own.conversation_id');

/** The references of the cars beside the first. */
export const otherCars = ({ reference, latest }: { readonly reference: string; readonly latest: string | null }) =>
  latest === null || latest === reference ? [] : [latest];

/** How long the visit of a family takes, with all its cars. */
export async function minutesOfCars(trx: Transaction<Tables>, conversationId: string): Promise<number> {
  const { minutes } = await trx
    .selectFrom('cases')
    .select(({ fn }) => fn.sum('minutes').as('minutes'))
    .where('conversation_id', '=', conversationId)
    .executeTakeFirstOrThrow();
  return Number(minutes);
}
