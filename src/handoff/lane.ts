import type { Delivery } from '#src/store/outbox.ts';

export interface Lane {
  /** Hands on all that is due and waits for it; gives the number of tries. */
  run(): Promise<number>;
  /** Something may be due: a run that is waiting for slow tries looks again. */
  wake(): void;
  /** Waits for the tries under way. */
  idle(): Promise<void>;
}

const AT_ONCE = 10;

/**
 * Hands on what goes to one destination, a few at a time; a try that takes long keeps its own place only. `claim` takes so
 * many deliveries at most, `deliver` never rejects.
 */
export function createLane(
  claim: (limit: number) => Promise<readonly Delivery[]>,
  deliver: (delivery: Delivery) => Promise<void>,
): Lane {
  const underWay = new Set<Promise<void>>();
  let wake = () => {};

  function begin(delivery: Delivery): void {
    const trying = deliver(delivery).then(() => {
      underWay.delete(trying);
    });
    underWay.add(trying);
  }

  async function run(): Promise<number> {
    let tries = 0;
    for (;;) {
      const woken = new Promise<void>((resolve) => {
        wake = resolve;
      });
      const free = AT_ONCE - underWay.size;
      const claimed = free > 0 ? await claim(free) : [];
      claimed.forEach(begin);
      tries += claimed.length;
      if (underWay.size === 0) return tries;
      await Promise.race([woken, ...underWay]);
    }
  }

  return {
    run,
    wake: () => wake(),
    idle: async () => {
      await Promise.all(underWay);
    },
  };
}
