import type { Logger } from '#src/log.ts';

export interface Looking {
  /** Looks at once, or once more as soon as the look under way is over. */
  wake(): void;
  /** Begins no further look, and waits for the one under way. */
  stop(): Promise<void>;
}

/** Looks for work now and then, and whenever it is woken; one look at a time. A look that fails is logged. */
export function createLooking(look: () => Promise<unknown>, everyMs: number, log: Logger): Looking {
  let stopped = false;
  let timer: NodeJS.Timeout | null = null;
  let running: Promise<void> | null = null;
  /** Woken while a look was under way, which may have missed what is new. */
  let missed = false;

  function begin(): void {
    timer = null;
    missed = false;
    running = look()
      .catch((error: unknown) => log.error({ err: error }, 'the outbox could not be read'))
      .then(() => {
        running = null;
        plan(missed ? 0 : everyMs);
      });
  }

  function plan(ms: number): void {
    if (timer) clearTimeout(timer);
    if (stopped) return;
    timer = setTimeout(begin, ms);
    timer.unref();
  }

  return {
    wake() {
      missed = true;
      if (!running) plan(0);
    },
    async stop() {
      stopped = true;
      if (timer) clearTimeout(timer);
      await running;
    },
  };
}
