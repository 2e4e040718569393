import type { Clock } from '#src/clock.ts';
import type { Store } from '#src/store/store.ts';
import type { Words } from '#src/words/words.ts';

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
}
