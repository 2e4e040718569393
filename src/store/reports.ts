import { z } from 'zod';
import { type Ride, ridesOf, ridesSchema } from '#shared/report/figures.ts';
import type { ReportedFamily } from '#shared/report/report.ts';
import { seenIn, seenListSchema } from '#shared/report/seen.ts';
import { type PreVisitSummary, preVisitSummarySchema } from '#shared/summary.ts';
import { foldVisit } from '#shared/visit-record/fold.ts';
import { reviewVisit } from '#shared/visit-record/review.ts';
import { matches } from './case-filter.ts';
import { jsonOrNull } from './json.ts';
import { StoreError } from './store-error.ts';
import type { Database, Tables } from './tables.ts';
import type { VisitStore } from './visits.ts';

/** Which families a report is about. Instants: from this one on, and before this one. */
export interface ReportFilter {
  readonly eventIds: readonly string[] | null;
  readonly eventId?: string;
  readonly from?: string;
  readonly until?: string;
}

export interface ReportStore {
  /** The families page by page; what cannot be read is passed over. */
  families(filter: ReportFilter): AsyncGenerator<readonly ReportedFamily[]>;
  /** The summaries page by page, with all that was said: for exports with names. */
  summaries(filter: ReportFilter): AsyncGenerator<readonly PreVisitSummary[]>;
}

const AT_ONCE = 500;

const keptVisitSchema = z.strictObject({ key: z.string(), signed: z.boolean(), seen: seenListSchema });

/** So many families are remembered, the latest counted; a few megabytes. */
const MOST_KNOWN = 20_000;

type ListedRow = Pick<Tables['cases'], 'reference' | 'conversation_id' | 'language' | 'updated_at'>;
type SealedRow = Pick<Tables['cases'], 'rides' | 'visit_seen'>;
type CaseRow = Pick<Tables['cases'], 'reference' | 'visit_seen' | 'updated_at'>;

/** What reports count, read in pages so that no report holds the database or the process up. */
export function reportStore(db: Database, visits: VisitStore): ReportStore {
  const cases = ({ eventIds, eventId, from, until }: ReportFilter, after: string) =>
    db
      .selectFrom('cases')
      .where((eb) =>
        eb.and([
          matches(eb, { eventIds, ...(eventId !== undefined && { eventId }) }),
          ...(from ? [eb('created_at', '>=', from)] : []),
          ...(until ? [eb('created_at', '<', until)] : []),
          eb('reference', '>', after),
        ]),
      )
      .orderBy('reference')
      .limit(AT_ONCE);

  const summaryOf = (text: string) => preVisitSummarySchema.safeParse(jsonOrNull(text)).data ?? null;

  const storedSummary = async (reference: string): Promise<string> =>
    (await db.selectFrom('cases').select('summary').where('reference', '=', reference).executeTakeFirst())?.summary ??
    '';

  async function ridesIn(reference: string, stored: string | null): Promise<readonly Ride[] | null> {
    const kept = ridesSchema.safeParse(jsonOrNull(stored)).data;
    if (kept) return kept;
    // Written by an older version: counted from the whole summary.
    const summary = summaryOf(await storedSummary(reference));
    return summary && ridesOf(summary);
  }

  /** What the visit made of each finding, judged once for each state of its record and kept. */
  async function visitOf(row: CaseRow, entryCount: number): Promise<ReportedFamily['visit']> {
    const key = `${entryCount} ${row.updated_at}`;
    const kept = keptVisitSchema.safeParse(jsonOrNull(row.visit_seen)).data;
    if (kept?.key === key) return kept;
    const summary = summaryOf(await storedSummary(row.reference));
    const entries = await visits.of(row.reference).catch((error: unknown) => {
      if (error instanceof StoreError) return null;
      throw error;
    });
    // A record with a hole in it would say something else than was recorded.
    if (!summary || !entries) return null;
    const { current, signed, begun } = foldVisit(entries);
    const day = (begun ?? summary.createdAt).slice(0, 10);
    const seen = seenIn(reviewVisit(signed?.reported ?? summary.case, current, day));
    const visit = { key, signed: signed !== null, seen: [...seen] };
    await db.transaction().execute((trx) =>
      trx
        .updateTable('cases')
        .set({ visit_seen: JSON.stringify(visit) })
        .where('reference', '=', row.reference)
        .execute(),
    );
    return visit;
  }

  async function entryCounts(references: readonly string[]): Promise<ReadonlyMap<string, number>> {
    if (references.length === 0) return new Map();
    const rows = await db
      .selectFrom('visit_entries')
      .select((eb) => ['reference', eb.fn.countAll().as('number')])
      .where('reference', 'in', references)
      .groupBy('reference')
      .execute();
    return new Map(rows.map(({ reference, number }) => [reference, Number(number)]));
  }

  async function sealedOf(references: readonly string[]): Promise<ReadonlyMap<string, SealedRow>> {
    if (references.length === 0) return new Map();
    const rows = await db
      .selectFrom('cases')
      .select(['reference', 'rides', 'visit_seen'])
      .where('reference', 'in', references)
      .execute();
    return new Map(rows.map(({ reference, ...sealed }) => [reference, sealed]));
  }

  async function familyOf(row: ListedRow & SealedRow, counts: ReadonlyMap<string, number>) {
    const rides = await ridesIn(row.reference, row.rides);
    const entryCount = counts.get(row.reference) ?? 0;
    const visit = entryCount > 0 ? await visitOf(row, entryCount) : null;
    return rides && { family: row.conversation_id, language: row.language, rides, visit };
  }

  // Opening what is sealed takes most of a report's time. What is remembered has no name and no word of a family.
  const known = new Map<string, { readonly stamp: string; readonly family: ReportedFamily | null }>();
  function remember(reference: string, stamp: string, family: ReportedFamily | null): void {
    known.delete(reference);
    known.set(reference, { stamp, family });
    if (known.size > MOST_KNOWN) known.delete(known.keys().next().value as string);
  }

  return {
    async *families(filter) {
      let after = '';
      for (;;) {
        const rows = await cases(filter, after)
          .select(['reference', 'conversation_id', 'language', 'updated_at'])
          .execute();
        const counts = await entryCounts(rows.map(({ reference }) => reference));
        const stampOf = (row: ListedRow) => `${counts.get(row.reference) ?? 0} ${row.updated_at}`;
        const unknown = rows.filter((row) => known.get(row.reference)?.stamp !== stampOf(row));
        const counted = await sealedOf(unknown.map(({ reference }) => reference));
        for (const row of unknown) {
          const sealed = counted.get(row.reference);
          if (sealed) remember(row.reference, stampOf(row), await familyOf({ ...row, ...sealed }, counts));
        }
        const page = rows.flatMap(({ reference }) => known.get(reference)?.family ?? []);
        if (page.length > 0) yield page;
        if (rows.length < AT_ONCE) return;
        after = rows.at(-1)?.reference ?? '';
      }
    },

    async *summaries(filter) {
      let after = '';
      for (;;) {
        const rows = await cases(filter, after).select(['reference', 'summary']).execute();
        const page = rows.flatMap(({ summary }) => summaryOf(summary) ?? []);
        if (page.length > 0) yield page;
        if (rows.length < AT_ONCE) return;
        after = rows.at(-1)?.reference ?? '';
      }
    },
  };
}
