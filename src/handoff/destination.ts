import { createHash } from 'node:crypto';
import type { PreVisitSummary } from '#shared/summary.ts';
import type { NoticeKind } from '#src/store/store.ts';

/** What is handed on, with an id that stays the same however often it is sent. */
export interface Message {
  readonly id: string;
  readonly kind: NoticeKind;
  readonly summary: PreVisitSummary;
  /** When the family's message caused it. */
  readonly at: string;
}

export type Sent =
  | { readonly ok: true }
  /** `retry` false: trying again cannot help. `afterMs`: not sooner. `why` says nothing of the family. */
  | { readonly ok: false; readonly why: string; readonly retry: boolean; readonly afterMs?: number };

export type Send = (message: Message) => Promise<Sent>;

/** The id of a delivery out of its idempotency key, which holds the family's reference and so stays here. */
export function messageId(idempotencyKey: string): string {
  return `msg_${createHash('sha256').update(idempotencyKey).digest('hex').slice(0, 32)}`;
}
