import type { Kysely, Transaction } from 'kysely';
import { z } from 'zod';
import { type VisitBody, type VisitEntry, visitBodySchema } from '#shared/visit-record/entries.ts';
import type { Clock } from '#src/clock.ts';
import type { Backend } from './backend.ts';
import { jsonOrNull } from './json.ts';
import { type KnownCase, putReminders } from './reminders.ts';
import type { Effect } from './store.ts';
import { StoreError } from './store-error.ts';
import type { Tables } from './tables.ts';

/** An entry as it comes in. */
export interface NewVisitEntry {
  readonly id: string;
  /** When it was written (ISO 8601), which may be before now and never is after. */
  readonly at: string;
  readonly accountId: string;
  /** The name of whoever wrote it, as it was then. */
  readonly by: string;
  readonly body: VisitBody;
}

/** `known`: it was there already. `signed`: the record is signed and this is no correction. `gone`: its case was deleted. */
export type Added = 'added' | 'known' | 'signed' | 'gone';

export interface VisitStore {
  /**
   * Adds an entry to the record of a case, once for each id. One written before the sign-off that arrives after it is added as a late
   * correction. `reminders` take the place of those of the case that wait, in the same transaction.
   */
  add(reference: string, entry: NewVisitEntry, reminders?: readonly Effect[]): Promise<Added>;
  /** Every entry of a case's visit, in the order of arrival. Throws `StoreError` where one cannot be read. */
  of(reference: string): Promise<readonly VisitEntry[]>;
  /** Remembers the hash of a link to a case's sheet that goes home; it goes with the conversation. */
  openLink(tokenHash: string, known: KnownCase): Promise<void>;
  /** The reference of the case whose sheet a link leads to; null once it was deleted, and for a link nobody made. */
  linkedTo(tokenHash: string): Promise<string | null>;
}

const storedSchema = z.strictObject({ by: z.string(), body: visitBodySchema });

const signOffOf = (on: Kysely<Tables>, reference: string) =>
  on
    .selectFrom('visit_entries')
    .select('at')
    .where('reference', '=', reference)
    .where('kind', '=', 'sign-off')
    .executeTakeFirst();

/** What of an entry may still be added after a sign-off; null for nothing. */
function afterSignOff({ at, body }: NewVisitEntry, signedAt: string): VisitBody | null {
  if (body.kind === 'correction') return body;
  if (body.kind === 'sign-off' || at >= signedAt) return null;
  return { kind: 'correction', why: 'late', change: body };
}

const kindOf = ({ kind }: VisitBody): Tables['visit_entries']['kind'] =>
  kind === 'sign-off' || kind === 'correction' ? kind : 'change';

async function put(
  trx: Transaction<Tables>,
  { reference, conversationId }: KnownCase,
  entry: NewVisitEntry,
  now: string,
): Promise<Added> {
  // The conversation's row is written first, so that of two at once the later sees the entry of the other.
  const there = await trx
    .updateTable('conversations')
    .set({ updated_at: now })
    .where('id', '=', conversationId)
    .where('state', '!=', 'deleted')
    .executeTakeFirst();
  if (there.numUpdatedRows === 0n) return 'gone';
  const of = trx.selectFrom('visit_entries').where('reference', '=', reference);
  if (await of.select('seq').where('id', '=', entry.id).executeTakeFirst()) return 'known';
  const signed = await signOffOf(trx, reference);
  const body = signed ? afterSignOff(entry, signed.at) : entry.body;
  if (!body) return 'signed';
  const { last } = await of.select((eb) => eb.fn.max('seq').as('last')).executeTakeFirstOrThrow();
  await trx
    .insertInto('visit_entries')
    .values({
      reference,
      conversation_id: conversationId,
      seq: Number(last ?? 0) + 1,
      id: entry.id,
      kind: kindOf(body),
      account_id: entry.accountId,
      at: entry.at,
      received_at: now,
      entry: JSON.stringify({ by: entry.by, body }),
    })
    .execute();
  return 'added';
}

/** The records of visits: rows are only ever added, which the database itself sees to (`visit-guards.ts`). */
export function visitStore({ db, tell }: Backend, clock: Clock): VisitStore {
  return {
    async add(reference, entry, reminders) {
      const now = clock().toISOString();
      const row = await db
        .selectFrom('cases')
        .select('conversation_id')
        .where('reference', '=', reference)
        .executeTakeFirst();
      if (!row) return 'gone';
      const known = { reference, conversationId: row.conversation_id };
      const added = await db.transaction().execute(async (trx) => {
        const done = await put(trx, known, entry, now);
        if (done === 'added' && reminders) await putReminders(trx, known, reminders, now);
        return done;
      });
      if (added === 'added') tell(known.conversationId);
      return added;
    },

    async of(reference) {
      const rows = await db
        .selectFrom('visit_entries')
        .select(['id', 'seq', 'at', 'entry'])
        .where('reference', '=', reference)
        .orderBy('seq')
        .execute();
      return rows.map(({ id, seq, at, entry }) => {
        const stored = storedSchema.safeParse(jsonOrNull(entry));
        // A record with a hole in it would say something else than was recorded.
        if (!stored.success) throw new StoreError(`The visit entry ${seq} of a case cannot be read.`);
        return { id, seq, at, ...stored.data };
      });
    },

    async openLink(tokenHash, { reference, conversationId }) {
      const at = clock().toISOString();
      const row = { token_hash: tokenHash, conversation_id: conversationId, reference, created_at: at };
      await db.transaction().execute((trx) =>
        trx
          .insertInto('take_home_links')
          .values(row)
          .onConflict((conflict) => conflict.doNothing())
          .execute(),
      );
    },

    async linkedTo(tokenHash) {
      const row = await db
        .selectFrom('take_home_links')
        .select('reference')
        .where('token_hash', '=', tokenHash)
        .executeTakeFirst();
      return row?.reference ?? null;
    },
  };
}
