import { randomUUID } from 'node:crypto';
import { type ExpressionBuilder, type Kysely, sql } from 'kysely';
import type { Backend, createSignals } from './backend.ts';
import { jsonOrNull } from './json.ts';
import { putEffects } from './put-effects.ts';
import { setBack } from './set-back.ts';
import type { Effect } from './store.ts';
import type { Tables } from './tables.ts';

/** Where notices are handed to. */
export type NoticeDestination = 'webhook' | 'mail' | 'teams';

/** Where effects go; `caregiver` is their own conversation, on whatever channel it is. */
export const DESTINATIONS = ['webhook', 'mail', 'teams', 'caregiver'] as const satisfies readonly (
  | NoticeDestination
  | 'caregiver'
)[];
export type Destination = (typeof DESTINATIONS)[number];

/** `failed` is a dead letter: given up, and kept. */
export type OutboxState = 'waiting' | 'done' | 'failed';

/** Work that a committed turn has asked for and that is not done yet. */
export interface OutboxEntry extends Effect {
  readonly id: string;
  readonly conversationId: string;
  /** Null while the effect is not spread over its destinations. */
  readonly destination: Destination | null;
  readonly dueAt: string;
  /** Tries begun, this one included. */
  readonly attempts: number;
  readonly createdAt: string;
}

export type Delivery = OutboxEntry & { readonly destination: Destination };

export type Outcome =
  | { readonly kind: 'done' }
  | { readonly kind: 'again'; readonly dueAt: string; readonly why: string }
  | { readonly kind: 'failed'; readonly why: string };

export interface OutboxCount {
  readonly destination: Destination | null;
  readonly state: OutboxState;
  readonly count: number;
}

/** A delivery that was given up, without a word of what it says. */
export interface DeadLetter {
  readonly id: string;
  readonly destination: Destination;
  readonly attempts: number;
  readonly lastError: string | null;
  readonly createdAt: string;
  /** The case it is about; null where it is gone or was never made. */
  readonly reference: string | null;
}

/** The case of an entry; of one about a whole conversation the latest of its cases. */
const ITS_CASE = sql<string>`coalesce(outbox.reference, (select own.reference from cases as own
  where own.conversation_id = outbox.conversation_id order by own.created_at desc limit 1))`;

export interface OutboxStore {
  /**
   * Puts an effect that no turn caused, such as a reminder; once for each idempotency key. False where there is no such
   * conversation, or its family deleted it: then nothing is written.
   */
  add(conversationId: string, effect: Effect, at: string): Promise<boolean>;
  /** Hears when this process has put an effect; gives the way to stop. */
  watch(listener: () => void): () => void;
  /** What waits and is due by `at` (ISO 8601), the longest waiting first. */
  due(at: string, limit: number): Promise<readonly OutboxEntry[]>;
  /** Puts a delivery for each destination in the place of each notice due; gives the number of notices. */
  spread(destinations: readonly NoticeDestination[], at: string, limit: number): Promise<number>;
  /**
   * Takes deliveries due and begins a try of each: until `leaseUntil` nobody else gets them. Of the messages to one
   * caregiver only the first that waits, so that they arrive in their order. Without a destination those of all.
   */
  claim(at: string, leaseUntil: string, limit: number, destination?: Destination): Promise<readonly Delivery[]>;
  /** Ends a claimed try. Says nothing of an entry that was deleted, or that another has claimed since. */
  settle(claimed: Delivery, outcome: Outcome): Promise<void>;
  /**
   * Makes due at once what was meant to be, but was put or paused by a clock that was ahead: by `at` it lies in the time to
   * come. Gives how many.
   */
  setBack(at: string): Promise<number>;
  /** What was given up, the oldest first. */
  deadLetters(limit: number): Promise<readonly DeadLetter[]>;
  /** Puts what was given up back in line, one or (null) all; gives how many. */
  retry(id: string | null, at: string): Promise<number>;
  /** How many there are by destination and state, dead letters among them. */
  counts(): Promise<readonly OutboxCount[]>;
}

function entryOf(row: Tables['outbox']): OutboxEntry {
  return {
    id: row.id,
    conversationId: row.conversation_id,
    kind: row.kind,
    ...(row.reference !== null && { reference: row.reference }),
    idempotencyKey: row.idempotency_key,
    destination: row.destination,
    payload: jsonOrNull(row.payload),
    dueAt: row.due_at,
    attempts: row.attempts,
    createdAt: row.created_at,
  };
}

/** What is done needs its words no longer. */
const EMPTY = 'null';

function changesOf(outcome: Outcome): Partial<Tables['outbox']> {
  switch (outcome.kind) {
    case 'done':
      return { state: 'done', payload: EMPTY, last_error: null };
    case 'again':
      return { due_at: outcome.dueAt, last_error: outcome.why };
    case 'failed':
      return { state: 'failed', last_error: outcome.why };
  }
}

export type EffectSignals = ReturnType<typeof createSignals>;

/**
 * No message to the same caregiver waits that was put before this one: one that is due, or that was tried already. One
 * that is meant for later holds nothing up.
 */
const isFirst =
  (at: string) =>
  ({ not, exists, selectFrom, ref, or, eb, and }: ExpressionBuilder<Tables, 'outbox'>) =>
    or([
      eb('outbox.destination', '!=', 'caregiver'),
      not(
        exists(
          selectFrom('outbox as before')
            .select('before.id')
            .whereRef('before.conversation_id', '=', 'outbox.conversation_id')
            .where('before.destination', '=', 'caregiver')
            .where('before.state', '=', 'waiting')
            .where((waits) => waits.or([waits('before.due_at', '<=', at), waits('before.attempts', '>', 0)]))
            .where((earlier) =>
              earlier.or([
                earlier('before.created_at', '<', ref('outbox.created_at')),
                and([
                  earlier('before.created_at', '=', ref('outbox.created_at')),
                  earlier('before.id', '<', ref('outbox.id')),
                ]),
              ]),
            ),
        ),
      ),
    ]);

/** The outbox; most of its effects are written by `ConversationStore.commit`, in the turn's transaction. */
export function outboxStore({ db, skipsLocked }: Backend, { emit, listen }: EffectSignals): OutboxStore {
  const waiting = (on: Kysely<Tables>, at: string, limit: number) =>
    on
      .selectFrom('outbox')
      .selectAll()
      .where('state', '=', 'waiting')
      .where('due_at', '<=', at)
      .orderBy('due_at')
      .orderBy('id')
      .limit(limit);

  /** In a transaction: what others are busy with is passed over. On SQLite a transaction has the database to itself. */
  function take(trx: Kysely<Tables>, at: string, limit: number, which: 'effects' | 'deliveries' | Destination) {
    const all = waiting(trx, at, limit);
    const deliveries = () => all.where('destination', 'is not', null).where(isFirst(at));
    const query =
      which === 'effects'
        ? all.where('destination', 'is', null)
        : which === 'deliveries'
          ? deliveries()
          : deliveries().where('destination', '=', which);
    return (skipsLocked ? query.forUpdate().skipLocked() : query).execute();
  }

  return {
    async add(conversationId, effect, at) {
      const added = await db.transaction().execute(async (trx) => {
        const known = await trx
          .selectFrom('conversations')
          .select('state')
          .where('id', '=', conversationId)
          .executeTakeFirst();
        if (!known || known.state === 'deleted') return false;
        await putEffects(trx, conversationId, [effect], at);
        return true;
      });
      if (added) emit(conversationId);
      return added;
    },

    watch: (listener) => listen(() => listener()),

    due: async (at, limit) => (await waiting(db, at, limit).execute()).map(entryOf),

    spread: (destinations, at, limit) =>
      db.transaction().execute(async (trx) => {
        const effects = await take(trx, at, limit, 'effects');
        for (const effect of effects) {
          for (const destination of destinations) {
            const idempotency_key = `${effect.idempotency_key}/${destination}`;
            await trx
              .insertInto('outbox')
              .values({ ...effect, id: randomUUID(), destination, idempotency_key })
              .onConflict((conflict) => conflict.column('idempotency_key').doNothing())
              .execute();
          }
          await trx.updateTable('outbox').set({ state: 'done', payload: EMPTY }).where('id', '=', effect.id).execute();
        }
        return effects.length;
      }),

    claim: (at, leaseUntil, limit, destination) =>
      db.transaction().execute(async (trx) => {
        const rows = await take(trx, at, limit, destination ?? 'deliveries');
        const claimed: Delivery[] = [];
        for (const row of rows) {
          const attempts = row.attempts + 1;
          await trx.updateTable('outbox').set({ attempts, due_at: leaseUntil }).where('id', '=', row.id).execute();
          claimed.push({ ...entryOf(row), attempts, destination: row.destination as Destination });
        }
        return claimed;
      }),

    async settle({ id, attempts }, outcome) {
      const values = changesOf(outcome);
      await db
        .transaction()
        .execute((trx) =>
          trx
            .updateTable('outbox')
            .set(values)
            .where('id', '=', id)
            .where('state', '=', 'waiting')
            .where('attempts', '=', attempts)
            .execute(),
        );
    },

    setBack: (at) => setBack(db, at),

    async deadLetters(limit) {
      const rows = await db
        .selectFrom('outbox')
        .leftJoin('cases', (join) => join.on('cases.reference', '=', ITS_CASE))
        .select(['outbox.id', 'outbox.destination', 'outbox.attempts', 'outbox.last_error', 'outbox.created_at'])
        .select('cases.reference')
        .where('outbox.state', '=', 'failed')
        .orderBy('outbox.created_at')
        .orderBy('outbox.id')
        .limit(limit)
        .execute();
      return rows.map((row) => ({
        id: row.id,
        destination: row.destination as Destination,
        attempts: row.attempts,
        lastError: row.last_error,
        createdAt: row.created_at,
        reference: row.reference,
      }));
    },

    async retry(id, at) {
      const { numUpdatedRows } = await db.transaction().execute((trx) => {
        const failed = trx
          .updateTable('outbox')
          .set({ state: 'waiting', attempts: 0, due_at: at })
          .where('state', '=', 'failed');
        return (id === null ? failed : failed.where('id', '=', id)).executeTakeFirstOrThrow();
      });
      if (numUpdatedRows > 0n) emit('');
      return Number(numUpdatedRows);
    },

    async counts() {
      const rows = await db
        .selectFrom('outbox')
        .select(['destination', 'state'])
        .select((eb) => eb.fn.countAll().as('count'))
        .groupBy(['destination', 'state'])
        .execute();
      return rows.map(({ destination, state, count }) => ({ destination, state, count: Number(count) }));
    },
  };
}
