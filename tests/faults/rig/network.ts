import type { Chance } from '../../families/chance.ts';

/** How requests fared, over all families. */
export interface Traffic {
  sent: number;
  acknowledged: number;
  /** No answer came: the connection broke, or there was none. */
  lost: number;
  /** Answers that are no acknowledgement, by their status. */
  readonly refused: Record<number, number>;
}

export interface Network {
  readonly traffic: Traffic;
  /** Asks one of the instances that are up; null when no answer came. */
  ask(path: string, init: RequestInit): Promise<Answer | null>;
  /** Counts a message as acknowledged. */
  acknowledge(): void;
  /** Resolves when so many more messages are acknowledged. */
  acknowledgedMore(messages: number): Promise<void>;
}

export interface Answer {
  readonly status: number;
  readonly body: unknown;
}

/** Between two tries of a client whose message was not taken. */
const PAUSE_MS = 20;

/** A pause between two looks at a condition. */
export const pause = (ms = PAUSE_MS): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

/** Waits until something holds; the test's own time limit ends a wait in vain. */
export async function until(holds: () => boolean | Promise<boolean>): Promise<void> {
  while (!(await holds())) await pause();
}

/** What lies between the families and the instances; `addresses` are those that are up just now. */
export function createNetwork(addresses: () => readonly string[], chance: Chance): Network {
  const traffic: Traffic = { sent: 0, acknowledged: 0, lost: 0, refused: {} };
  const waiting = new Set<{ readonly at: number; readonly resolve: () => void }>();
  return {
    traffic,
    async ask(path, init) {
      await until(() => addresses().length > 0);
      const address = chance.oneOf(addresses());
      traffic.sent++;
      try {
        const answer = await fetch(address + path, init);
        const text = await answer.text();
        if (!answer.ok) traffic.refused[answer.status] = (traffic.refused[answer.status] ?? 0) + 1;
        return { status: answer.status, body: text === '' ? null : JSON.parse(text) };
      } catch {
        traffic.lost++;
        return null;
      }
    },
    acknowledge() {
      traffic.acknowledged++;
      for (const one of waiting) {
        if (one.at > traffic.acknowledged) continue;
        waiting.delete(one);
        one.resolve();
      }
    },
    acknowledgedMore: (messages) =>
      new Promise((resolve) => {
        waiting.add({ at: traffic.acknowledged + messages, resolve });
      }),
  };
}
