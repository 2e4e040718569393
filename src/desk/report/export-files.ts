import { stringify } from 'csv-stringify/sync';
import type { Anonymous } from '#shared/report/anonymous.ts';
import { ridesOf } from '#shared/report/figures.ts';
import type { PreVisitSummary } from '#shared/summary.ts';

/** Control characters, marks that turn the direction of text, and line ends, which spreadsheets take for new rows. */
const HIDDEN = /[\p{Cc}\p{Cf}\u2028\u2029]+/gu;
/** Blanks and the wide forms of the signs with which a formula begins. */
const HEAD = /^\s+(?=[=+\-@])|^(?=[＝＋－＠])/u;

/** A text as a cell may hold it: shown as text, never worked out as a formula (OWASP, CSV Injection). */
export const cellText = (text: string): string => {
  const plain = text.replace(HIDDEN, ' ').toWellFormed();
  return HEAD.test(plain) ? `'${plain.trimStart()}` : plain;
};

type Cell = string | number | null;

/** Lines of comma-separated values (RFC 4180): every text quoted, no text taken for a formula. */
export function csvLines(rows: readonly (readonly Cell[])[]): string {
  const cells = rows.map((row) => row.map((cell) => (typeof cell === 'string' ? cellText(cell) : cell)));
  return stringify(cells, { quoted_string: true, escape_formulas: true, record_delimiter: '\r\n' });
}

/** So that spreadsheets read what follows as UTF-8. */
export const BOM = '\ufeff';

export const ANONYMOUS_HEAD = ['language', 'age_years', 'rides_now', 'advised', 'seat_kind', 'findings'] as const;

export const anonymousCsv = ({ records }: Anonymous): string =>
  csvLines([
    ANONYMOUS_HEAD,
    ...records.map(({ language, age, mode, advised, kind, findings }) => [
      language,
      age,
      mode,
      advised,
      kind,
      findings.join(' '),
    ]),
  ]);

export const NAMED_HEAD = [
  'reference',
  'first_sent',
  'event',
  'language',
  'child',
  'age_years',
  'rides_now',
  'advised',
  'seat_kind',
  'findings',
  'minutes',
  'priority',
] as const;

/** A line for each child of a family, with its reference and nickname; without the words and the contact of the caregiver. */
export const namedRows = (summary: PreVisitSummary): readonly (readonly Cell[])[] =>
  ridesOf(summary).map((ride) => [
    summary.reference,
    summary.createdAt,
    summary.event,
    summary.language,
    summary.case.children.find(({ id }) => id === ride.childId)?.name ?? null,
    ride.age,
    ride.mode,
    ride.advised,
    ride.kind,
    ride.findings.join(' '),
    summary.assessment.visit.minutes,
    summary.assessment.visit.priority,
  ]);
