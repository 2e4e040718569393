import { isFullDate } from '#shared/dates.ts';
import { AUDIT_ACTIONS, type AuditAction, type AuditFilter, type AuditKey } from '#src/store/audit.ts';
import { paths } from './paths.ts';

const DAY_MS = 24 * 60 * 60 * 1000;

/** What the address of the record asks for; days are UTC days, both included. */
export interface UsageQuery {
  readonly who: string | null;
  readonly what: AuditAction | null;
  readonly subject: string | null;
  readonly from: string | null;
  readonly to: string | null;
  readonly after: AuditKey | null;
}

/** Reads the query string of the record; what is strange in it is passed over. */
export function readUsageQuery(query: string): UsageQuery {
  const fields = new URLSearchParams(query);
  const text = (name: string) => fields.get(name)?.trim().slice(0, 100).replaceAll('\0', '').toWellFormed() || null;
  const day = (name: string) => {
    const value = text(name);
    return value !== null && isFullDate(value) ? value : null;
  };
  const [, at, id] = /^(\d{4}-\d\d-\d\dT[\d:.]+Z)~([\w-]+)$/.exec(fields.get('after') ?? '') ?? [];
  return {
    who: text('who'),
    what: AUDIT_ACTIONS.find((action) => action === text('what')) ?? null,
    subject: text('subject'),
    from: day('from'),
    to: day('to'),
    after: at && id ? { at, id } : null,
  };
}

export function auditFilter({ who, what, subject, from, to }: UsageQuery): AuditFilter {
  return {
    ...(who && { accountId: who }),
    ...(what && { action: what }),
    ...(subject && { subject }),
    ...(from && { from: `${from}T00:00:00.000Z` }),
    ...(to && { until: new Date(Date.parse(`${to}T00:00:00.000Z`) + DAY_MS).toISOString() }),
  };
}

/** The address of the record under a filter, from a row on. */
export function usagePath({ who, what, subject, from, to }: UsageQuery, after: AuditKey | null = null): string {
  const fields = new URLSearchParams({
    ...(who && { who }),
    ...(what && { what }),
    ...(subject && { subject }),
    ...(from && { from }),
    ...(to && { to }),
    ...(after && { after: `${after.at}~${after.id}` }),
  });
  return fields.size > 0 ? `${paths.usage}?${fields}` : paths.usage;
}
