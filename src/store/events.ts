import { sql, type Transaction } from 'kysely';
import { z } from 'zod';
import { type Held, misfits, type Stay } from '#shared/events/free-times.ts';
import { type OpeningHours, openingHoursSchema } from '#shared/events/hours.ts';
import type { Clock } from '#src/clock.ts';
import type { Backend } from './backend.ts';
import { jsonOrNull } from './json.ts';
import type { Tables } from './tables.ts';

/** A seat-check event. `heldOn` is a calendar date in `timeZone` (IANA name). */
export interface CheckEvent {
  readonly id: string;
  readonly name: string;
  readonly place: string;
  readonly timeZone: string;
  readonly heldOn: string;
  /** BCP 47 tags of what the team speaks. */
  readonly languages: readonly string[];
  /** Null: families come without a time. */
  readonly hours: OpeningHours | null;
  /** Grows with every change. */
  readonly version: number;
}

/** An event as it is made: without what is known of its team and hours, where nothing is. */
export type NewEvent = Pick<CheckEvent, 'id' | 'name' | 'place' | 'timeZone' | 'heldOn'> &
  Partial<Pick<CheckEvent, 'languages' | 'hours'>>;

/** `stale`: somebody changed it meanwhile. `booked`: so many families could not come as they booked; nothing was changed. */
export type EventChange =
  | { readonly state: 'changed' | 'stale' | 'missing' }
  | { readonly state: 'booked'; readonly families: number };

export interface EventStore {
  /** `taken`: there is an event of that id. */
  add(event: NewEvent): Promise<'added' | 'taken'>;
  /**
   * Replaces what an event says, where `version` is still the one that was read. `keepBookings`: also where the times of
   * more families than before would not fit; they keep them.
   */
  change(event: CheckEvent, keepBookings?: boolean): Promise<EventChange>;
  byId(id: string): Promise<CheckEvent | null>;
  /** In the order of their days. */
  list(): Promise<readonly CheckEvent[]>;
}

const COLUMNS = [
  'id',
  'name',
  'place',
  'time_zone',
  'held_on',
  'opens_at',
  'closes_at',
  'step_minutes',
  'technicians',
  'languages',
  'version',
] as const;

type Row = Pick<Tables['events'], (typeof COLUMNS)[number]>;

const languagesSchema = z.array(z.string());

const eventOf = (row: Row): CheckEvent => ({
  id: row.id,
  name: row.name,
  place: row.place,
  timeZone: row.time_zone,
  heldOn: row.held_on,
  languages: languagesSchema.safeParse(jsonOrNull(row.languages)).data ?? [],
  hours:
    openingHoursSchema.safeParse({
      opensAt: row.opens_at,
      closesAt: row.closes_at,
      stepMinutes: row.step_minutes,
      technicians: row.technicians,
    }).data ?? null,
  version: row.version,
});

const columnsOf = ({ name, place, timeZone, heldOn, languages = [], hours = null }: NewEvent) => ({
  name,
  place,
  time_zone: timeZone,
  held_on: heldOn,
  languages: JSON.stringify(languages),
  opens_at: hours?.opensAt ?? null,
  closes_at: hours?.closesAt ?? null,
  step_minutes: hours?.stepMinutes ?? null,
  technicians: hours?.technicians ?? null,
});

/** An event with slots; null: without. */
export const heldOf = ({ heldOn, timeZone, hours }: CheckEvent): Held | null => hours && { heldOn, timeZone, hours };

/**
 * Reads an event and makes every other booking of it wait until this transaction ends, on both databases: whoever writes
 * its row has it alone.
 */
export async function eventAlone(trx: Transaction<Tables>, id: string): Promise<CheckEvent | null> {
  const row = await trx
    .updateTable('events')
    .set((eb) => ({ bookings_made: eb('bookings_made', '+', 1) }))
    .where('id', '=', id)
    .returning(COLUMNS)
    .executeTakeFirst();
  return row ? eventOf(row) : null;
}

/** The times that are taken: of everybody who has one and may still come, or came. */
export async function takenTimes(
  db: Pick<Transaction<Tables>, 'selectFrom'>,
  eventId: string,
  but: { readonly conversationId?: string; readonly id?: string } = {},
): Promise<readonly Stay[]> {
  const rows = await db
    .selectFrom('arrivals')
    .select(['starts_at', 'minutes'])
    .where('event_id', '=', eventId)
    .where('starts_at', 'is not', null)
    .where('state', '!=', 'no-show')
    .where((eb) =>
      eb.and([
        ...(but.id === undefined ? [] : [eb('id', '!=', but.id)]),
        ...(but.conversationId === undefined
          ? []
          : [sql<boolean>`coalesce(conversation_id, '') <> ${but.conversationId}`]),
      ]),
    )
    .execute();
  return rows.flatMap(({ starts_at, minutes }) => (starts_at === null ? [] : [{ start: starts_at, minutes }]));
}

/** Thrown inside the transaction to roll it back. */
class NotChanged extends Error {
  readonly result: EventChange;
  constructor(result: EventChange) {
    super('the event was not changed');
    this.result = result;
  }
}

/** Seat-check events. */
export function eventStore({ db, tell }: Backend, clock: Clock): EventStore {
  return {
    async add(event) {
      const row = {
        id: event.id,
        ...columnsOf(event),
        version: 1,
        bookings_made: 0,
        created_at: clock().toISOString(),
      };
      const { numInsertedOrUpdatedRows } = await db.transaction().execute((trx) =>
        trx
          .insertInto('events')
          .values(row)
          .onConflict((conflict) => conflict.doNothing())
          .executeTakeFirstOrThrow(),
      );
      return numInsertedOrUpdatedRows === 1n ? 'added' : 'taken';
    },

    async change(event, keepBookings = false) {
      try {
        await db.transaction().execute(async (trx) => {
          const before = await eventAlone(trx, event.id);
          if (!before) throw new NotChanged({ state: 'missing' });
          if (before.version !== event.version) throw new NotChanged({ state: 'stale' });
          const taken = await takenTimes(trx, event.id);
          const unfit = (held: Held | null) => (held ? misfits(held, taken) : taken.length);
          const families = unfit(heldOf(event));
          // Those that were kept before stand in nobody's way.
          if (families > unfit(heldOf(before)) && !keepBookings) throw new NotChanged({ state: 'booked', families });
          await trx
            .updateTable('events')
            .set({ ...columnsOf(event), version: event.version + 1 })
            .where('id', '=', event.id)
            .execute();
        });
      } catch (error) {
        if (error instanceof NotChanged) return error.result;
        throw error;
      }
      tell(eventSignal(event.id));
      return { state: 'changed' };
    },

    async byId(id) {
      const row = await db.selectFrom('events').select(COLUMNS).where('id', '=', id).executeTakeFirst();
      return row ? eventOf(row) : null;
    },

    async list() {
      const rows = await db.selectFrom('events').select(COLUMNS).orderBy('held_on').orderBy('id').execute();
      return rows.map(eventOf);
    },
  };
}

const SIGNAL = 'event:';

/** What `Backend.tell` says where an event changed, beside conversations. */
export const eventSignal = (id: string): string => `${SIGNAL}${id}`;

/** The event of a signal; null where it is a conversation. */
export const signalledEvent = (signal: string): string | null =>
  signal.startsWith(SIGNAL) ? signal.slice(SIGNAL.length) : null;
