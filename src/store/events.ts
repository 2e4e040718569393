import type { Clock } from '#src/clock.ts';
import type { Database } from './tables.ts';

/** A seat-check event. `heldOn` is a calendar date in `timeZone` (IANA name). */
export interface CheckEvent {
  readonly id: string;
  readonly name: string;
  readonly place: string;
  readonly timeZone: string;
  readonly heldOn: string;
}

export interface EventStore {
  add(event: CheckEvent): Promise<void>;
  byId(id: string): Promise<CheckEvent | null>;
  list(): Promise<readonly CheckEvent[]>;
}

const COLUMNS = ['id', 'name', 'place', 'time_zone as timeZone', 'held_on as heldOn'] as const;

/** Seat-check events. */
export function eventStore(db: Database, clock: Clock): EventStore {
  return {
    async add({ id, name, place, timeZone, heldOn }) {
      const row = { id, name, place, time_zone: timeZone, held_on: heldOn, created_at: clock().toISOString() };
      await db.transaction().execute((trx) => trx.insertInto('events').values(row).execute());
    },
    async byId(id) {
      const row = await db.selectFrom('events').select(COLUMNS).where('id', '=', id).executeTakeFirst();
      return row ?? null;
    },
    list: () => db.selectFrom('events').select(COLUMNS).orderBy('held_on').orderBy('id').execute(),
  };
}
