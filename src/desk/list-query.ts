import type { CaseFilter, CaseKey } from '#src/store/case-filter.ts';
import { PRIORITIES, type Priority } from '#src/store/case-row.ts';
import type { WantedCases } from '#src/store/cases.ts';
import { paths } from './paths.ts';

const MAX_LENGTH = 200;

export type From = NonNullable<WantedCases['from']>;

/** What the address of the list asks for. */
export interface ListQuery {
  readonly filter: CaseFilter;
  readonly from: From | null;
}

const isPriority = (text: string | null): text is Priority => PRIORITIES.some((priority) => priority === text);

/** `priority~instant~reference`; null for anything else. */
function readKey(text: string): CaseKey | null {
  const [, priority, createdAt, reference] = /^([\w-]+)~([\d:.TZ-]{1,40})~(.+)$/su.exec(text) ?? [];
  return createdAt && reference && isPriority(priority ?? null)
    ? { priority: priority as Priority, createdAt, reference }
    : null;
}

/** Reads the query string of the list; what is strange in it is passed over. */
export function readListQuery(query: string): ListQuery {
  const fields = new URLSearchParams(query);
  const text = (name: string): string | null => {
    const value = fields.get(name)?.trim().slice(0, MAX_LENGTH).replaceAll('\0', '').toWellFormed();
    return value ? value : null;
  };
  const [search, priority, language, eventId] = [text('q'), text('priority'), text('language'), text('event')];
  const finished = text('finished');
  const side = fields.has('after') ? 'after' : 'before';
  const key = readKey(fields.get(side)?.replaceAll('\0', '').toWellFormed() ?? '');
  return {
    filter: {
      ...(search && { search }),
      ...(isPriority(priority) && { priority }),
      ...(language && { language }),
      ...(eventId && { eventId }),
      ...((finished === 'yes' || finished === 'no') && { complete: finished === 'yes' }),
      ...(text('person') === 'yes' && { person: true }),
    },
    from: key && { side, key },
  };
}

/** The address of the list under a filter, at a place. */
export function listPath({ search, priority, language, eventId, complete, person }: CaseFilter, from?: From): string {
  const fields = new URLSearchParams({
    ...(search && { q: search }),
    ...(priority && { priority }),
    ...(language && { language }),
    ...(eventId && { event: eventId }),
    ...(complete !== undefined && { finished: complete ? 'yes' : 'no' }),
    ...(person && { person: 'yes' }),
    ...(from && { [from.side]: `${from.key.priority}~${from.key.createdAt}~${from.key.reference}` }),
  });
  return fields.size > 0 ? `${paths.list}?${fields}` : paths.list;
}
