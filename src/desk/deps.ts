import type { Clock } from '#src/clock.ts';
import type { Store } from '#src/store/store.ts';
import type { Words } from '#src/words/words.ts';
import type { ProviderSettings } from './identity-provider.ts';

/** What the desk needs from the service. */
export interface DeskDeps {
  readonly store: Store;
  readonly words: Words;
  readonly clock: Clock;
  /** Where people reach the service; https makes the cookies secure. Null: as it listens, without https. */
  readonly publicUrl: string | null;
  /** From which keys for links and kept forms are derived; absent: one of this run. */
  readonly secret?: string;
  /** BCP 47 language of the desk; English if left out. */
  readonly language?: string;
  /** How long sessions last, and how long without being used (null: no such limit); 12 hours and 2 if left out. */
  readonly sessions?: SessionLimits;
  /** The organisation's identity provider, beside local accounts. */
  readonly provider?: ProviderSettings | null;
  /** Proxies in front of the service, as addresses and networks. */
  readonly trustedProxies?: readonly string[];
}

export interface SessionLimits {
  readonly hours: number;
  readonly idleMinutes: number | null;
}

/** A long day at an event; and a pause there, after which what is half written is kept (`kept.ts`). */
export const SESSION_LIMITS: SessionLimits = { hours: 12, idleMinutes: 120 };
