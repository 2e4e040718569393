import { type PreVisitSummary, preVisitSummarySchema } from '#shared/summary.ts';
import { beyond, type CaseFilter, type CaseKey, matches } from './case-filter.ts';
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

/** Numbers of families under a filter. */
export interface CaseCounts {
  readonly byPriority: Readonly<Record<Priority, number>>;
  readonly person: number;
  readonly unfinished: number;
}

export interface CasePage {
  readonly cases: readonly ListedCase[];
  /** All families of the filter. */
  readonly total: number;
  /** How many of them stand before this page. */
  readonly before: number;
}

export interface WantedCases {
  readonly pageSize: number;
  readonly filter?: CaseFilter;
  /** The page that begins after a family, or ends before one; the first page if left out. The family may be gone. */
  readonly from?: { readonly side: 'after' | 'before'; readonly key: CaseKey } | undefined;
}

export interface CaseStore {
  /** Before travel first, then early, then routine; the newest first among equals. */
  list(wanted: WantedCases): Promise<CasePage>;
  counts(filter: CaseFilter): Promise<CaseCounts>;
  /** The languages and events that families are in, in no order; `within`: of these events only, null for all. */
  choices(
    within?: readonly string[] | null,
  ): Promise<{ readonly languages: readonly string[]; readonly eventIds: readonly string[] }>;
  byReference(reference: string): Promise<FoundCase>;
  /** The event of a case, without reading the case; null where there is no such case. */
  eventOf(reference: string): Promise<{ readonly eventId: string | null } | null>;
  /** The references of a conversation's cases, the latest last: one for each car that was spoken of. */
  referencesOf(conversationId: string): Promise<readonly string[]>;
}

/** Where a family stands in the list. */
export const keyOf = ({ priority, createdAt, reference }: ListedCase): CaseKey => ({ priority, createdAt, reference });

/** Cases as the desk reads them; they are written by `ConversationStore.commit`. */
export function caseStore(db: Database): CaseStore {
  const count = async (filter: CaseFilter, before?: CaseKey): Promise<number> => {
    const { number } = await db
      .selectFrom('cases')
      .select((eb) => eb.fn.countAll().as('number'))
      .where((eb) => eb.and([matches(eb, filter), ...(before ? [beyond(eb, 'before', before)] : [])]))
      .executeTakeFirstOrThrow();
    return Number(number);
  };
  return {
    async list({ pageSize, filter = {}, from }) {
      const backwards = from?.side === 'before';
      const [priorityOrder, order] = backwards ? (['desc', 'asc'] as const) : (['asc', 'desc'] as const);
      const rows = await db
        .selectFrom('cases')
        .select(['reference', 'priority', 'event_id', 'language', 'minutes', 'complete', 'person'])
        .select(['urgent_count', 'visit_count', 'verify_count', 'children', 'created_at'])
        .where((eb) => eb.and([matches(eb, filter), ...(from ? [beyond(eb, from.side, from.key)] : [])]))
        .orderBy('priority', priorityOrder)
        .orderBy('created_at', order)
        .orderBy('reference', order)
        .limit(pageSize)
        .execute();
      const cases = (backwards ? rows.toReversed() : rows).map(
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
      const first = cases[0];
      return { cases, total: await count(filter), before: from && first ? await count(filter, keyOf(first)) : 0 };
    },

    async counts(filter) {
      const groups = await db
        .selectFrom('cases')
        .select((eb) => ['priority', 'person', 'complete', eb.fn.countAll().as('number')])
        .where((eb) => matches(eb, filter))
        .groupBy(['priority', 'person', 'complete'])
        .execute();
      const sum = (counted: (group: (typeof groups)[number]) => boolean) =>
        groups.filter(counted).reduce((total, { number }) => total + Number(number), 0);
      return {
        byPriority: {
          'before-travel': sum(({ priority }) => priority === 0),
          early: sum(({ priority }) => priority === 1),
          routine: sum(({ priority }) => priority === 2),
        },
        person: sum(({ person }) => person === 1),
        unfinished: sum(({ complete }) => complete === 0),
      };
    },

    async choices(within = null) {
      const distinct = async (column: 'language' | 'event_id') =>
        (
          await db
            .selectFrom('cases')
            .select(column)
            .distinct()
            .where((eb) => matches(eb, { eventIds: within }))
            .execute()
        ).map((row) => Object.values(row)[0]);
      const [languages, eventIds] = [await distinct('language'), await distinct('event_id')];
      const isText = (value: unknown): value is string => typeof value === 'string';
      return { languages: languages.filter(isText), eventIds: eventIds.filter(isText) };
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

    async eventOf(reference) {
      const row = await db
        .selectFrom('cases')
        .select('event_id as eventId')
        .where('reference', '=', reference)
        .executeTakeFirst();
      return row ?? null;
    },

    async referencesOf(conversationId) {
      const rows = await db
        .selectFrom('cases')
        .select('reference')
        .where('conversation_id', '=', conversationId)
        .orderBy('created_at')
        .orderBy('reference')
        .execute();
      return rows.map(({ reference }) => reference);
    },
  };
}
