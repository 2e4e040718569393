import type { Clock } from '#src/clock.ts';
import type { Logger } from '#src/log.ts';
import type { Purged } from '#src/store/retention.ts';

const DAY_MS = 24 * 60 * 60 * 1000;
const EVERY_MS = 6 * 60 * 60 * 1000;
/** A clock that went forward by more than this between two looks, beyond what passed, is not believed at once. */
const LEAP_MS = DAY_MS;

export interface SweepDeps {
  readonly purge: (before: string) => Promise<Purged>;
  /** So long after the last activity is kept; null: for ever. */
  readonly days: number | null;
  readonly clock: Clock;
  readonly log: Logger;
  /** Milliseconds that no setting of the clock changes. */
  readonly steadyMs?: () => number;
}

export interface Sweep {
  /** Deletes what is too old now; never rejects. */
  run(): Promise<void>;
  /** Runs at once, and then every six hours. */
  start(): void;
  /** Begins nothing more, and waits for what is under way. */
  stop(): Promise<void>;
}

/** The instant (ISO 8601) before which everything is too old to be kept. */
export const keptSince = (now: Date, days: number): string => new Date(now.getTime() - days * DAY_MS).toISOString();

/** Deletes what is older than it may be kept. Several instances may run it side by side. */
export function createSweep({ purge, days, clock, log, steadyMs = () => performance.now() }: SweepDeps): Sweep {
  let timer: NodeJS.Timeout | null = null;
  let running: Promise<void> = Promise.resolve();
  let last: { readonly nowMs: number; readonly steadyMs: number } | null = null;

  /** How far the clock went forward since the last look beyond what passed. */
  function leapMs(): number {
    const before = last;
    last = { nowMs: clock().getTime(), steadyMs: steadyMs() };
    return before ? last.nowMs - before.nowMs - (last.steadyMs - before.steadyMs) : 0;
  }

  async function run(): Promise<void> {
    if (days === null) return;
    const leapt = leapMs();
    if (leapt > LEAP_MS) {
      // What is purged does not come back with the right time; by the next look somebody may have set it.
      log.error({ hours: Math.round(leapt / 3_600_000) }, 'the clock leapt forward, so nothing is purged this time');
      return;
    }
    try {
      const purged = await purge(keptSince(clock(), days));
      if (Object.values(purged).some((count) => count > 0)) log.info({ ...purged }, 'purged');
    } catch (error) {
      log.error({ err: error }, 'purging failed; it is tried again later');
    }
  }

  const look = () => {
    running = run();
  };

  return {
    run,
    start() {
      if (days === null) return;
      look();
      timer = setInterval(look, EVERY_MS);
      timer.unref();
    },
    async stop() {
      if (timer) clearInterval(timer);
      await running;
    },
  };
}
