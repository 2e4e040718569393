import { randomUUID } from 'node:crypto';
import type { Stay } from '#shared/events/free-times.ts';
import { preVisitSummarySchema } from '#shared/summary.ts';
import type { Clock } from '#src/clock.ts';
import type { Backend } from './backend.ts';
import { type ListedChild, listedChildrenSchema, PRIORITIES, type Priority } from './case-row.ts';
import { eventAlone, eventSignal } from './events.ts';
import { casesOfFamilies, minutesOfCars, otherCars } from './family-cases.ts';
import { jsonOrNull } from './json.ts';
import type { KnownCase } from './reminders.ts';

/** A family of the event's link that has no line on the board: it chose no time. Of two cars, `reference` is the first one's. */
export interface Unbooked {
  readonly reference: string;
  readonly otherCars: readonly string[];
  readonly language: string;
  readonly minutes: number;
  readonly priority: Priority;
  readonly person: boolean;
  readonly complete: boolean;
  readonly urgentCount: number;
  readonly children: readonly ListedChild[] | null;
}

/** `stale`: somebody else has taken it, or given it back, meanwhile. */
export type Taken = 'taken' | 'stale' | 'missing';

/** A family that a technician sees at a time, for the technician's calendar. */
export interface OwnTime extends Stay {
  readonly id: string;
  readonly eventId: string;
  /** Null: a walk-in, or nothing was shared. */
  readonly reference: string | null;
  readonly changedAt: string;
}

export interface BoardStore {
  /** Families without a time, what cannot wait first; at most so many, and how many there are. */
  unbooked(eventId: string, most: number): Promise<{ readonly families: readonly Unbooked[]; readonly total: number }>;
  /** Puts a family without a time on the board: it is there. `already`: it has a line. */
  come(eventId: string, reference: string): Promise<'come' | 'already' | 'missing'>;
  /** Says who sees a family, where that was `from` until now; null: nobody. */
  assign(eventId: string, id: string, from: string | null, to: string | null): Promise<Taken>;
  /** A walk-in's interview has begun in a conversation; nothing, where it has one, or the conversation stands on a board. */
  claim(walkInId: string, conversationId: string): Promise<void>;
  /** The visit of a family was signed, of all cars that it has told of: if it is there, it is done. */
  signed(known: KnownCase): Promise<void>;
  /** Minutes that families with a time need, as their cases say by now; without those who did not come. */
  needed(eventId: string): Promise<readonly Stay[]>;
  /** The times of the families that somebody sees, in their order. */
  timesOf(accountId: string): Promise<readonly OwnTime[]>;
}

const needsInterpreter = (summary: string): 0 | 1 =>
  preVisitSummarySchema.safeParse(jsonOrNull(summary)).data?.assessment.visit.skills.includes('interpreter') ? 1 : 0;

/** What happens on the board of an event beside bookings (`booking.ts`) and arrivals. */
export function boardStore({ db, tell }: Backend, clock: Clock): BoardStore {
  const now = (): string => clock().toISOString();
  const unbooked = (eventId: string) =>
    db
      .selectFrom(casesOfFamilies(db).where('own.event_id', '=', eventId).as('family'))
      .innerJoin('cases', 'cases.reference', 'family.reference')
      .leftJoin('arrivals', 'arrivals.conversation_id', 'family.conversation_id')
      .where('arrivals.id', 'is', null);

  return {
    async unbooked(eventId, most) {
      const { number } = await unbooked(eventId)
        .select((eb) => eb.fn.countAll().as('number'))
        .executeTakeFirstOrThrow();
      const rows = await unbooked(eventId)
        .select(['family.reference', 'family.latest', 'family.minutes', 'family.priority', 'family.person'])
        .select(['family.complete', 'family.urgent_count', 'cases.language', 'cases.children'])
        .orderBy('family.priority')
        .orderBy('cases.created_at')
        .orderBy('family.reference')
        .limit(most)
        .execute();
      const families = rows.map(
        (row): Unbooked => ({
          reference: row.reference,
          otherCars: otherCars(row),
          language: row.language,
          minutes: Number(row.minutes),
          priority: PRIORITIES[row.priority] ?? 'routine',
          person: row.person === 1,
          complete: row.complete === 1,
          urgentCount: Number(row.urgent_count),
          children: listedChildrenSchema.safeParse(jsonOrNull(row.children)).data ?? null,
        }),
      );
      return { families, total: Number(number) };
    },

    async come(eventId, reference) {
      const come = await db.transaction().execute(async (trx) => {
        const event = await eventAlone(trx, eventId);
        const one = await trx
          .selectFrom('cases')
          .select(['conversation_id', 'language', 'summary'])
          .where('reference', '=', reference)
          .where('event_id', '=', eventId)
          .executeTakeFirst();
        if (!event || !one) return 'missing';
        const minutes = await minutesOfCars(trx, one.conversation_id);
        const row = {
          id: randomUUID(),
          event_id: eventId,
          conversation_id: one.conversation_id,
          starts_at: null,
          minutes,
          needed_minutes: minutes,
          state: 'arrived' as const,
          language: one.language,
          interpreter: needsInterpreter(one.summary),
          walk_in_name: null,
          link_hash: null,
          arrived_at: now(),
          account_id: null,
          created_at: now(),
          updated_at: now(),
        };
        const { numInsertedOrUpdatedRows } = await trx
          .insertInto('arrivals')
          .values(row)
          .onConflict((conflict) => conflict.column('conversation_id').doNothing())
          .executeTakeFirstOrThrow();
        return numInsertedOrUpdatedRows === 1n ? 'come' : 'already';
      });
      if (come === 'come') tell(eventSignal(eventId));
      return come;
    },

    async assign(eventId, id, from, to) {
      const taken = await db.transaction().execute(async (trx): Promise<Taken> => {
        const event = await eventAlone(trx, eventId);
        const row = await trx
          .selectFrom('arrivals')
          .select('account_id')
          .where('id', '=', id)
          .where('event_id', '=', eventId)
          .executeTakeFirst();
        if (!event || !row) return 'missing';
        if (row.account_id === to) return 'taken';
        if (row.account_id !== from) return 'stale';
        await trx.updateTable('arrivals').set({ account_id: to, updated_at: now() }).where('id', '=', id).execute();
        return 'taken';
      });
      if (taken === 'taken') tell(eventSignal(eventId));
      return taken;
    },

    async claim(walkInId, conversationId) {
      const eventId = await db.transaction().execute(async (trx) => {
        const row = await trx.selectFrom('arrivals').select('event_id').where('id', '=', walkInId).executeTakeFirst();
        // Its event's row first, as everywhere, so that two phones at once wait for one another.
        if (!row || !(await eventAlone(trx, row.event_id))) return null;
        const known = await trx
          .selectFrom('arrivals')
          .select('id')
          .where('conversation_id', '=', conversationId)
          .executeTakeFirst();
        const talk = await trx
          .selectFrom('conversations')
          .select('event_id')
          .where('id', '=', conversationId)
          .executeTakeFirst();
        if (known || talk?.event_id !== row.event_id) return null;
        const { numUpdatedRows } = await trx
          .updateTable('arrivals')
          .set({ conversation_id: conversationId, updated_at: now() })
          .where('id', '=', walkInId)
          .where('conversation_id', 'is', null)
          .executeTakeFirstOrThrow();
        return numUpdatedRows === 1n ? row.event_id : null;
      });
      if (eventId !== null) tell(eventSignal(eventId));
    },

    async signed({ conversationId, reference }) {
      const row = await db.transaction().execute((trx) =>
        trx
          .updateTable('arrivals')
          .set({ state: 'done', updated_at: now() })
          .where('conversation_id', '=', conversationId)
          .where('state', '=', 'arrived')
          .where(({ not, exists, selectFrom }) =>
            not(
              exists(
                selectFrom('cases')
                  .leftJoin('visit_entries', (join) =>
                    join.onRef('visit_entries.reference', '=', 'cases.reference').on('kind', '=', 'sign-off'),
                  )
                  .select('cases.reference')
                  .where('cases.conversation_id', '=', conversationId)
                  .where('cases.reference', '!=', reference)
                  .where('cases.complete', '=', 1)
                  .where('visit_entries.seq', 'is', null),
              ),
            ),
          )
          .returning('event_id')
          .executeTakeFirst(),
      );
      if (row) tell(eventSignal(row.event_id));
    },

    async needed(eventId) {
      const rows = await db
        .selectFrom('arrivals')
        .select(['starts_at', 'needed_minutes'])
        .where('event_id', '=', eventId)
        .where('starts_at', 'is not', null)
        .where('state', '!=', 'no-show')
        .orderBy('starts_at')
        .execute();
      return rows.flatMap(({ starts_at, needed_minutes: minutes }) =>
        starts_at === null ? [] : [{ start: starts_at, minutes }],
      );
    },

    async timesOf(accountId) {
      const rows = await db
        .selectFrom('arrivals')
        .select(['id', 'event_id', 'starts_at', 'needed_minutes', 'updated_at'])
        .select(({ selectFrom }) =>
          selectFrom('cases')
            .select(({ fn }) => fn.min('reference').as('reference'))
            .whereRef('cases.conversation_id', '=', 'arrivals.conversation_id')
            .as('reference'),
        )
        .where('account_id', '=', accountId)
        .where('starts_at', 'is not', null)
        .where('state', '!=', 'no-show')
        .orderBy('starts_at')
        .orderBy('id')
        .execute();
      return rows.flatMap((row) =>
        row.starts_at === null
          ? []
          : [
              {
                id: row.id,
                eventId: row.event_id,
                start: row.starts_at,
                minutes: row.needed_minutes,
                reference: row.reference,
                changedAt: row.updated_at,
              },
            ],
      );
    },
  };
}
