import { randomUUID } from 'node:crypto';
import { isFree, misfits, type Stay } from '#shared/events/free-times.ts';
import type { Clock } from '#src/clock.ts';
import {
  type Arrival,
  type ArrivalPage,
  type ArrivalState,
  arrivalLine,
  listArrivals,
  type WantedArrivals,
} from './arrival-lines.ts';
import type { Backend } from './backend.ts';
import { type CheckEvent, eventAlone, eventSignal, heldOf, takenTimes } from './events.ts';

export interface WalkIn {
  /** Made here if left out. */
  readonly id?: string;
  readonly name: string;
  readonly language: string;
  readonly interpreter: boolean;
  readonly minutes: number;
  /** Null: waits without a time. */
  readonly start: string | null;
}

/** Numbers of an event, without those who did not come where nothing else is said. */
export interface ArrivalCounts {
  readonly byState: Readonly<Record<ArrivalState, number>>;
  readonly walkIns: number;
  readonly byLanguage: readonly {
    readonly language: string;
    readonly families: number;
    readonly interpreter: number;
  }[];
  /** Families that still wait, or came, without a time, and the minutes they need. */
  readonly withoutTime: { readonly families: number; readonly minutes: number };
  /** Minutes of those who have a time, as the board expects them. */
  readonly stays: readonly (Stay & { readonly families: number })[];
}

export interface FamilyBooking {
  /** Null: it is there without a time. */
  readonly stay: Stay | null;
  readonly state: ArrivalState;
}

/** `stale`: somebody else marked it meanwhile; `untimed`: marked, but its time had been given to others. */
export type Marked = 'marked' | 'untimed' | 'stale' | 'missing';

export interface ArrivalStore {
  list(eventId: string, wanted: WantedArrivals): Promise<ArrivalPage>;
  line(eventId: string, id: string): Promise<Arrival | null>;
  counts(eventId: string): Promise<ArrivalCounts>;
  /** Times taken by others than this conversation. */
  taken(eventId: string, but?: { readonly conversationId: string }): Promise<readonly Stay[]>;
  /** How a conversation's family stands on the board. */
  of(conversationId: string): Promise<FamilyBooking | null>;
  /** The booking behind a private link, and the event it is for. */
  linked(linkHash: string): Promise<{ readonly id: string; readonly eventId: string; readonly stay: Stay } | null>;
  /** `taken`: the time has no room for it any more. */
  addWalkIn(eventId: string, walkIn: WalkIn): Promise<'added' | 'taken' | 'missing'>;
  mark(eventId: string, id: string, from: ArrivalState, to: ArrivalState): Promise<Marked>;
}

/** Who comes when; families book with a turn of their conversation (`booking.ts`). */
export function arrivalStore({ db, tell }: Backend, clock: Clock): ArrivalStore {
  const now = (): string => clock().toISOString();
  const of = (eventId: string) => db.selectFrom('arrivals').where('arrivals.event_id', '=', eventId);

  return {
    list: (eventId, wanted) => listArrivals(db, eventId, wanted),
    line: (eventId, id) => arrivalLine(db, eventId, id),

    async counts(eventId) {
      const states = await of(eventId)
        .select((eb) => ['state', 'language', 'interpreter', eb.fn.countAll().as('number')])
        .select((eb) => eb.fn.count('walk_in_name').as('walkIns'))
        .groupBy(['state', 'language', 'interpreter'])
        .execute();
      const times = await of(eventId)
        .where('state', '!=', 'no-show')
        .select((eb) => ['starts_at', 'minutes', eb.fn.countAll().as('number')])
        .groupBy(['starts_at', 'minutes'])
        .orderBy('starts_at')
        .orderBy('minutes')
        .execute();
      const byState = { booked: 0, arrived: 0, done: 0, 'no-show': 0 };
      const languages = new Map<string, { families: number; interpreter: number }>();
      for (const { state, language, interpreter, number } of states) {
        byState[state] += Number(number);
        if (state === 'no-show') continue;
        const { families, interpreter: with_ } = languages.get(language) ?? { families: 0, interpreter: 0 };
        languages.set(language, {
          families: families + Number(number),
          interpreter: with_ + (interpreter === 1 ? Number(number) : 0),
        });
      }
      const untimed = times.filter(({ starts_at }) => starts_at === null);
      return {
        byState,
        walkIns: states.reduce((sum, { walkIns }) => sum + Number(walkIns), 0),
        byLanguage: [...languages]
          .map(([language, numbers]) => ({ language, ...numbers }))
          .toSorted((a, b) => b.families - a.families || (a.language < b.language ? -1 : 1)),
        withoutTime: {
          families: untimed.reduce((sum, { number }) => sum + Number(number), 0),
          minutes: untimed.reduce((sum, { number, minutes }) => sum + Number(number) * minutes, 0),
        },
        stays: times.flatMap(({ starts_at, minutes, number }) =>
          starts_at === null ? [] : [{ start: starts_at, minutes, families: Number(number) }],
        ),
      };
    },

    taken: (eventId, but) => takenTimes(db, eventId, but),

    async of(conversationId) {
      const row = await db
        .selectFrom('arrivals')
        .select(['starts_at', 'minutes', 'state'])
        .where('conversation_id', '=', conversationId)
        .executeTakeFirst();
      if (!row) return null;
      const { starts_at: start, minutes, state } = row;
      return { stay: start === null ? null : { start, minutes }, state };
    },

    async linked(linkHash) {
      const row = await db
        .selectFrom('arrivals')
        .select(['id', 'event_id', 'starts_at', 'minutes'])
        .where('link_hash', '=', linkHash)
        .executeTakeFirst();
      if (!row || row.starts_at === null) return null;
      return { id: row.id, eventId: row.event_id, stay: { start: row.starts_at, minutes: row.minutes } };
    },

    async addWalkIn(eventId, { id = randomUUID(), name, language, interpreter, minutes, start }) {
      const added = await db.transaction().execute(async (trx) => {
        const event = await eventAlone(trx, eventId);
        if (!event) return 'missing';
        const stay = start === null ? null : { start, minutes };
        const held = heldOf(event);
        if (stay && !(held && isFree(held, await takenTimes(trx, eventId), stay))) return 'taken';
        await trx
          .insertInto('arrivals')
          .values({
            id,
            event_id: eventId,
            conversation_id: null,
            starts_at: start,
            minutes,
            needed_minutes: minutes,
            state: 'arrived',
            language,
            interpreter: interpreter ? 1 : 0,
            walk_in_name: name,
            link_hash: null,
            arrived_at: now(),
            account_id: null,
            created_at: now(),
            updated_at: now(),
          })
          .execute();
        return 'added';
      });
      if (added === 'added') tell(eventSignal(eventId));
      return added;
    },

    async mark(eventId, id, from, to) {
      const marked = await db.transaction().execute(async (trx): Promise<Marked> => {
        const event = await eventAlone(trx, eventId);
        const row = await trx
          .selectFrom('arrivals')
          .select(['state', 'starts_at', 'minutes'])
          .where('id', '=', id)
          .where('event_id', '=', eventId)
          .executeTakeFirst();
        if (!event || !row) return 'missing';
        if (row.state === to) return 'marked';
        if (row.state !== from) return 'stale';
        // Whoever comes after all may find the time given to others: then it waits without one.
        const stay = row.starts_at === null ? null : { start: row.starts_at, minutes: row.minutes };
        const lost =
          from === 'no-show' && stay !== null && !hasRoom(event, await takenTimes(trx, eventId, { id }), stay);
        await trx
          .updateTable('arrivals')
          .set({
            state: to,
            updated_at: now(),
            ...(to === 'arrived' && from !== 'done' && { arrived_at: now() }),
            ...(lost && { starts_at: null }),
          })
          .where('id', '=', id)
          .execute();
        return lost ? 'untimed' : 'marked';
      });
      if (marked === 'marked' || marked === 'untimed') tell(eventSignal(eventId));
      return marked;
    },
  };
}

const hasRoom = (event: CheckEvent, taken: readonly Stay[], stay: Stay): boolean => {
  const held = heldOf(event);
  return held !== null && misfits(held, [...taken, stay]) === 0;
};
