import { isFullDate } from '#shared/dates.ts';
import type { Access } from '#src/store/people.ts';
import type { ReportFilter } from '#src/store/reports.ts';

const DAY_MS = 24 * 60 * 60 * 1000;

/** What a report is asked about; days are UTC days on which families wrote first, both included. */
export interface ReportQuery {
  readonly event: string | null;
  readonly from: string | null;
  readonly to: string | null;
}

/** Reads the fields of an address or a form; what is strange in them is passed over. */
export function readReportQuery(fields: URLSearchParams): ReportQuery {
  const text = (name: string) => fields.get(name)?.trim().slice(0, 200).replaceAll('\0', '').toWellFormed() || null;
  const day = (name: string) => {
    const value = text(name);
    return value !== null && isFullDate(value) ? value : null;
  };
  return { event: text('event'), from: day('from'), to: day('to') };
}

export const reportFilter = (
  { event, from, to }: ReportQuery,
  { eventIds }: Pick<Access, 'eventIds'>,
): ReportFilter => ({
  eventIds,
  ...(event && { eventId: event }),
  ...(from && { from: `${from}T00:00:00.000Z` }),
  ...(to && { until: new Date(Date.parse(`${to}T00:00:00.000Z`) + DAY_MS).toISOString() }),
});

/** An address of a report or an export about the same families. */
export function reportPath(path: string, { event, from, to }: ReportQuery): string {
  const fields = new URLSearchParams({ ...(event && { event }), ...(from && { from }), ...(to && { to }) });
  return fields.size > 0 ? `${path}?${fields}` : path;
}
