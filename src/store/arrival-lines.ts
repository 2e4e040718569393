import { type ListedChild, listedChildrenSchema, PRIORITIES, type Priority } from './case-row.ts';
import { casesOfFamilies, otherCars } from './family-cases.ts';
import { jsonOrNull } from './json.ts';
import type { Database } from './tables.ts';

export const ARRIVAL_STATES = ['booked', 'arrived', 'done', 'no-show'] as const;
export type ArrivalState = (typeof ARRIVAL_STATES)[number];

/** One line of an event's board. */
export interface Arrival {
  readonly id: string;
  /** Null: no time. */
  readonly start: string | null;
  /** Minutes as booked, and as the case needs them by now. */
  readonly minutes: number;
  readonly neededMinutes: number;
  readonly state: ArrivalState;
  /** When it came; null before. */
  readonly arrivedAt: string | null;
  /** The account of whoever sees, or will see, the family. */
  readonly technicianId: string | null;
  readonly language: string;
  readonly interpreter: boolean;
  /** A family that came without a conversation: its name as somebody typed it. */
  readonly walkIn: { readonly name: string } | null;
  /** Its conversation has begun, whether or not it has shared anything. */
  readonly talking: boolean;
  /**
   * A family that booked or has shared its answers. `reference` and `children` are those of its first car, where it has two;
   * `children`: null where they cannot be read.
   */
  readonly family: {
    readonly reference: string;
    /** The references of its other cars, which have the same appointment. */
    readonly otherCars: readonly string[];
    readonly priority: Priority;
    readonly person: boolean;
    readonly complete: boolean;
    readonly urgentCount: number;
    readonly children: readonly ListedChild[] | null;
  } | null;
}

export interface ArrivalPage {
  readonly arrivals: readonly Arrival[];
  readonly total: number;
}

export interface WantedArrivals {
  readonly pageSize: number;
  readonly page: number;
  /** Only those who stand so; all if left out. */
  readonly states?: readonly ArrivalState[];
  /**
   * `time`, if left out: those with a time first, in the order of their times; then those without. `urgency`: what cannot
   * wait first, then whoever came first. `latest`: whose state changed last.
   */
  readonly order?: 'time' | 'urgency' | 'latest';
}

const ROUTINE = PRIORITIES.indexOf('routine');

const lines = (db: Database, eventId: string) =>
  db
    .selectFrom('arrivals')
    .leftJoin(
      ({ selectFrom }) =>
        casesOfFamilies(db)
          .where(
            'own.conversation_id',
            'in',
            selectFrom('arrivals').select('conversation_id').where('event_id', '=', eventId),
          )
          .as('family'),
      (join) => join.onRef('family.conversation_id', '=', 'arrivals.conversation_id'),
    )
    .leftJoin('cases', 'cases.reference', 'family.reference')
    .select(['id', 'starts_at', 'arrivals.minutes', 'needed_minutes', 'state', 'arrivals.language', 'interpreter'])
    .select(['walk_in_name', 'arrived_at', 'account_id', 'arrivals.conversation_id'])
    .select(['family.reference', 'family.latest', 'family.priority', 'family.person', 'family.complete'])
    .select(['family.urgent_count', 'cases.children'])
    .select((eb) => eb.case().when('starts_at', 'is', null).then(1).else(0).end().as('untimed'))
    .select((eb) => eb.fn.coalesce('family.priority', eb.val(ROUTINE)).as('urgency'))
    .where('arrivals.event_id', '=', eventId);

type Row = Awaited<ReturnType<ReturnType<typeof lines>['execute']>>[number];

const lineOf = (row: Row): Arrival => ({
  id: row.id,
  start: row.starts_at,
  minutes: row.minutes,
  neededMinutes: row.needed_minutes,
  state: row.state,
  arrivedAt: row.arrived_at,
  technicianId: row.account_id,
  language: row.language,
  interpreter: row.interpreter === 1,
  walkIn: row.walk_in_name === null ? null : { name: row.walk_in_name },
  talking: row.conversation_id !== null,
  family:
    row.reference === null
      ? null
      : {
          reference: row.reference,
          otherCars: otherCars({ reference: row.reference, latest: row.latest }),
          priority: PRIORITIES[row.priority ?? -1] ?? 'routine',
          person: row.person === 1,
          complete: row.complete === 1,
          urgentCount: Number(row.urgent_count ?? 0),
          children: listedChildrenSchema.safeParse(jsonOrNull(row.children)).data ?? null,
        },
});

export async function listArrivals(
  db: Database,
  eventId: string,
  { pageSize, page, states, order = 'time' }: WantedArrivals,
): Promise<ArrivalPage> {
  const { number } = await db
    .selectFrom('arrivals')
    .select((eb) => eb.fn.countAll().as('number'))
    .where('event_id', '=', eventId)
    .$if(states !== undefined, (query) => query.where('state', 'in', states ?? []))
    .executeTakeFirstOrThrow();
  const rows = await lines(db, eventId)
    .$if(states !== undefined, (query) => query.where('state', 'in', states ?? []))
    .$if(order === 'urgency', (query) => query.orderBy('urgency').orderBy('arrived_at'))
    .$if(order === 'latest', (query) => query.orderBy('arrivals.updated_at', 'desc'))
    .orderBy('untimed')
    .orderBy('starts_at')
    .orderBy('arrivals.created_at')
    .orderBy('id')
    .limit(pageSize)
    .offset(page * pageSize)
    .execute();
  return { arrivals: rows.map(lineOf), total: Number(number) };
}

export async function arrivalLine(db: Database, eventId: string, id: string): Promise<Arrival | null> {
  const row = await lines(db, eventId).where('id', '=', id).executeTakeFirst();
  return row ? lineOf(row) : null;
}
