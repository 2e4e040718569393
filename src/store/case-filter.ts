import { type ExpressionBuilder, type ExpressionWrapper, type SqlBool, sql } from 'kysely';
import { PRIORITIES, type Priority } from './case-row.ts';
import { searchPatterns } from './case-search.ts';
import type { Tables } from './tables.ts';

/** Which families are wanted; what is left out does not matter. */
export interface CaseFilter {
  /** Words of a reference, a nickname, or what the caregiver typed; each must be found, in any case. */
  readonly search?: string;
  readonly priority?: Priority;
  readonly language?: string;
  readonly eventId?: string;
  /** Families of these events only; null: all, also those of no event. */
  readonly eventIds?: readonly string[] | null;
  readonly complete?: boolean;
  readonly person?: boolean;
}

/** The place of a family in the order of the list. */
export interface CaseKey {
  readonly priority: Priority;
  readonly createdAt: string;
  readonly reference: string;
}

type Builder = ExpressionBuilder<Tables, 'cases'>;
type Condition = ExpressionWrapper<Tables, 'cases', SqlBool>;

/** The conditions of a filter. */
export function matches(eb: Builder, filter: CaseFilter): Condition {
  const { search, priority, language, eventId, eventIds, complete, person } = filter;
  return eb.and([
    ...(priority ? [eb('priority', '=', PRIORITIES.indexOf(priority))] : []),
    ...(language !== undefined ? [eb('language', '=', language)] : []),
    ...(eventId !== undefined ? [eb('event_id', '=', eventId)] : []),
    ...(eventIds ? [eventIds.length > 0 ? eb('event_id', 'in', eventIds) : sql<SqlBool>`1 = 0`] : []),
    ...(complete !== undefined ? [eb('complete', '=', complete ? 1 : 0)] : []),
    ...(person !== undefined ? [eb('person', '=', person ? 1 : 0)] : []),
    ...searchPatterns(search ?? '').map((pattern) => sql<SqlBool>`search_text like ${pattern} escape '\\'`),
  ]);
}

/** Rows that come after a place in the list, or before it. */
export function beyond(eb: Builder, side: 'after' | 'before', { priority, createdAt, reference }: CaseKey): Condition {
  const rank = PRIORITIES.indexOf(priority);
  const [down, up, reaching] = side === 'after' ? (['<', '>', '>='] as const) : (['>', '<', '<='] as const);
  return eb.and([
    // Said apart from what follows, so that an index is entered at the place and not at its end.
    eb('priority', reaching, rank),
    eb.or([
      eb('priority', up, rank),
      eb('created_at', down, createdAt),
      eb.and([eb('created_at', '=', createdAt), eb('reference', down, reference)]),
    ]),
  ]);
}
