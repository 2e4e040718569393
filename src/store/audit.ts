import { randomUUID } from 'node:crypto';
import type { Clock } from '#src/clock.ts';
import type { Database } from './tables.ts';

export type AuditAction =
  | 'account-made'
  | 'signed-in'
  | 'sign-in-refused'
  | 'signed-out'
  | 'case-viewed'
  | 'case-printed'
  | 'thread-viewed'
  | 'message-sent'
  | 'handed-back'
  | 'delivery-retried';

export interface AuditEntry {
  readonly at: string;
  /** Null where nobody is signed in. */
  readonly accountId: string | null;
  readonly action: AuditAction;
  /** The case's reference; never a person's data. */
  readonly subject: string | null;
}

export interface AuditStore {
  note(entry: Omit<AuditEntry, 'at'>): Promise<void>;
  /** Who did what to one subject, the latest last. */
  of(subject: string): Promise<readonly AuditEntry[]>;
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
  };
}
