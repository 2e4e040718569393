import { randomUUID } from 'node:crypto';
import type { Clock } from '#src/clock.ts';
import type { Database } from './tables.ts';

/** All that is written down; each has its words under `auditAction` of the desk's texts. */
export const AUDIT_ACTIONS = [
  'refused',
  'account-made',
  'account-invited',
  'account-changed',
  'account-disabled',
  'account-enabled',
  'password-link-made',
  'password-chosen',
  'signed-in',
  'sign-in-refused',
  'signed-out',
  'case-viewed',
  'case-printed',
  'thread-viewed',
  'photo-viewed',
  'photo-deleted',
  'message-sent',
  'handed-back',
  'delivery-retried',
  'visit-viewed',
  'visit-recorded',
  'visit-signed',
  'take-home-viewed',
  'take-home-sent',
  'event-made',
  'event-changed',
  'calendar-link-made',
  'calendar-link-closed',
  'record-viewed',
  'report-viewed',
  'exported',
  'exported-with-names',
] as const;

export type AuditAction = (typeof AUDIT_ACTIONS)[number];

export interface AuditEntry {
  readonly at: string;
  /** Null where nobody is signed in. */
  readonly accountId: string | null;
  readonly action: AuditAction;
  /** The reference of a case, or the id of an account; never a person's data. */
  readonly subject: string | null;
}

export interface AuditFilter {
  readonly accountId?: string;
  readonly action?: AuditAction;
  readonly subject?: string;
  /** Instants: from this one on, and before this one. */
  readonly from?: string;
  readonly until?: string;
}

/** Where a row stands: the latest first. */
export interface AuditKey {
  readonly at: string;
  readonly id: string;
}

export interface AuditRow extends AuditEntry, AuditKey {}

export interface AuditPage {
  readonly rows: readonly AuditRow[];
  /** Where the next, older page begins; null at the end. */
  readonly next: AuditKey | null;
}

export interface AuditStore {
  note(entry: Omit<AuditEntry, 'at'>): Promise<void>;
  /** Who did what to one subject, the latest last. */
  of(subject: string): Promise<readonly AuditEntry[]>;
  /** Who did what, the latest first. */
  list(wanted: {
    readonly pageSize: number;
    readonly filter?: AuditFilter;
    readonly after?: AuditKey | null;
  }): Promise<AuditPage>;
}

/** The record of who looked at what. Rows are only ever added. */
export function auditStore(db: Database, clock: Clock): AuditStore {
  return {
    async note({ accountId, action, subject }) {
      const row = { id: randomUUID(), at: clock().toISOString(), account_id: accountId, action, subject };
      await db.transaction().execute((trx) => trx.insertInto('audit').values(row).execute());
    },
    of: (subject) =>
      db
        .selectFrom('audit')
        .select(['at', 'account_id as accountId', 'action', 'subject'])
        .where('subject', '=', subject)
        .orderBy('at')
        .execute(),

    async list({ pageSize, filter = {}, after }) {
      const { accountId, action, subject, from, until } = filter;
      const rows = await db
        .selectFrom('audit')
        .select(['id', 'at', 'account_id as accountId', 'action', 'subject'])
        .where((eb) =>
          eb.and([
            ...(accountId ? [eb('account_id', '=', accountId)] : []),
            ...(action ? [eb('action', '=', action)] : []),
            ...(subject ? [eb('subject', '=', subject)] : []),
            ...(from ? [eb('at', '>=', from)] : []),
            ...(until ? [eb('at', '<', until)] : []),
            // Said apart from what follows, so that the index is entered at the place.
            ...(after ? [eb('at', '<=', after.at)] : []),
            ...(after ? [eb.or([eb('at', '<', after.at), eb('id', '<', after.id)])] : []),
          ]),
        )
        .orderBy('at', 'desc')
        .orderBy('id', 'desc')
        .limit(pageSize + 1)
        .execute();
      const last = rows[pageSize - 1];
      return {
        rows: rows.slice(0, pageSize),
        next: rows.length > pageSize && last ? { at: last.at, id: last.id } : null,
      };
    },
  };
}
