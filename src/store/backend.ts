import type { Database } from './tables.ts';

export type Listener = (conversationId: string) => void;

/** All that the two databases do each in its own way; every query above it is the same for both. */
export interface Backend {
  readonly db: Database;
  /** Whether rows under work elsewhere can be passed over (`for update skip locked`). */
  readonly skipsLocked: boolean;
  /** Runs `work` while nothing else runs under the same key, on any instance that shares the database. */
  alone<T>(key: string, work: () => Promise<T>): Promise<T>;
  /** Tells every instance that a conversation has new lines. */
  tell(conversationId: string): void;
  /** Hears of conversations with new lines; gives the way to stop. A call may be missed: look now and then too. */
  listen(listener: Listener): () => void;
  /** Takes what was deleted or replaced out of the database's own files too, as far as nobody is reading it just now. */
  wipe(): Promise<void>;
  close(): Promise<void>;
}

/** One after another within this process, in the order of the calls. */
export function createQueue(): Backend['alone'] {
  const tails = new Map<string, Promise<unknown>>();
  return (key, work) => {
    const before = tails.get(key) ?? Promise.resolve();
    const result = before.then(work, work);
    const tail = result.then(
      () => {},
      () => {},
    );
    tails.set(key, tail);
    tail.then(() => {
      if (tails.get(key) === tail) tails.delete(key);
    });
    return result;
  };
}

/** The listeners of this process. */
export function createSignals() {
  const listeners = new Set<Listener>();
  return {
    emit: (conversationId: string) => {
      for (const listener of listeners) listener(conversationId);
    },
    listen: (listener: Listener) => {
      listeners.add(listener);
      return () => {
        listeners.delete(listener);
      };
    },
  };
}
