import { type PreVisitSummary, preVisitSummarySchema } from '#shared/summary.ts';
import { type ListedChild, listedChildrenSchema, PRIORITIES, type Priority } from './case-row.ts';
import { jsonOrNull } from './json.ts';
import type { Database } from './tables.ts';

/** One line of the desk's list. `children` is null where the stored text cannot be read. */
export interface ListedCase {
  readonly reference: string;
  readonly priority: Priority;
  readonly eventId: string | null;
  readonly language: string;
  readonly minutes: number;
  readonly complete: boolean;
  readonly person: boolean;
  readonly urgentCount: number;
  readonly visitCount: number;
  readonly verifyCount: number;
  readonly children: readonly ListedChild[] | null;
  readonly createdAt: string;
}

/** A case whose stored summary breaks the schema is `unreadable`, not an exception: the desk says so. */
export type FoundCase =
  | { readonly state: 'found'; readonly summary: PreVisitSummary; readonly conversationId: string }
  | { readonly state: 'unreadable' }
  | { readonly state: 'missing' };

export interface CasePage {
  readonly cases: readonly ListedCase[];
  readonly total: number;
}

export interface CaseStore {
  /** Before travel first, then early, then routine; the oldest first among equals. `page` counts from 1. */
  list(wanted: { readonly page: number; readonly pageSize: number }): Promise<CasePage>;
  byReference(reference: string): Promise<FoundCase>;
}

/** Cases as the desk reads them; they are written by `ConversationStore.commit`. */
export function caseStore(db: Database): CaseStore {
  return {
    async list({ page, pageSize }) {
      const { total } = await db
        .selectFrom('cases')
        .select((eb) => eb.fn.countAll().as('total'))
        .executeTakeFirstOrThrow();
      const rows = await db
        .selectFrom('cases')
        .select(['reference', 'priority', 'event_id', 'language', 'minutes', 'complete', 'person'])
        .select(['urgent_count', 'visit_count', 'verify_count', 'children', 'created_at'])
        .orderBy('priority')
        .orderBy('created_at')
        .orderBy('reference')
        .limit(pageSize)
        .offset((page - 1) * pageSize)
        .execute();
      const cases = rows.map(
        (row): ListedCase => ({
          reference: row.reference,
          priority: PRIORITIES[row.priority] ?? 'routine',
          eventId: row.event_id,
          language: row.language,
          minutes: row.minutes,
          complete: row.complete === 1,
          person: row.person === 1,
          urgentCount: row.urgent_count,
          visitCount: row.visit_count,
          verifyCount: row.verify_count,
          children: listedChildrenSchema.safeParse(jsonOrNull(row.children)).data ?? null,
          createdAt: row.created_at,
        }),
      );
      return { cases, total: Number(total) };
    },

    async byReference(reference) {
      const row = await db
        .selectFrom('cases')
        .select(['summary', 'conversation_id'])
        .where('reference', '=', reference)
        .executeTakeFirst();
      if (!row) return { state: 'missing' };
      const parsed = preVisitSummarySchema.safeParse(jsonOrNull(row.summary));
      if (!parsed.success) return { state: 'unreadable' };
      return { state: 'found', summary: parsed.data, conversationId: row.conversation_id };
    },
  };
}
