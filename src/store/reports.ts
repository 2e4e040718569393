import { type Ride, ridesOf, ridesSchema } from '#shared/report/figures.ts';
import type { ReportedFamily } from '#shared/report/report.ts';
import { type PreVisitSummary, preVisitSummarySchema } from '#shared/summary.ts';
import { foldVisit, latestOf } from '#shared/visit-record/fold.ts';
import { matches } from './case-filter.ts';
import { jsonOrNull } from './json.ts';
import { StoreError } from './store-error.ts';
import type { Database } from './tables.ts';
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

  async function ridesIn(reference: string, stored: string | null): Promise<readonly Ride[] | null> {
    const kept = ridesSchema.safeParse(jsonOrNull(stored)).data;
    if (kept) return kept;
    // Written by an older version: counted from the whole summary.
    const row = await db.selectFrom('cases').select('summary').where('reference', '=', reference).executeTakeFirst();
    const summary = row ? summaryOf(row.summary) : null;
    return summary && ridesOf(summary);
  }

  async function visitOf(conversationId: string): Promise<ReportedFamily['visit']> {
    const entries = await visits.of(conversationId).catch((error: unknown) => {
      if (error instanceof StoreError) return null;
      throw error;
    });
    // A record with a hole in it would say something else than was recorded.
    if (!entries) return null;
    const { current, signed } = foldVisit(entries);
    return { signed: signed !== null, seen: latestOf(current, 'finding').map(({ change }) => change) };
  }

  return {
    async *families(filter) {
      let after = '';
      for (;;) {
        const rows = await cases(filter, after).select(['reference', 'conversation_id', 'language', 'rides']).execute();
        const ids = rows.map(({ conversation_id }) => conversation_id);
        const recorded = ids.length
          ? await db
              .selectFrom('visit_entries')
              .select('conversation_id')
              .distinct()
              .where('conversation_id', 'in', ids)
              .execute()
          : [];
        const visited = new Set(recorded.map(({ conversation_id }) => conversation_id));
        const page: ReportedFamily[] = [];
        for (const { reference, conversation_id, language, rides } of rows) {
          const counted = await ridesIn(reference, rides);
          const visit = visited.has(conversation_id) ? await visitOf(conversation_id) : null;
          if (counted) page.push({ language, rides: counted, visit });
        }
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
