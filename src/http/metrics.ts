import { Counter, collectDefaultMetrics, Gauge, Histogram, Registry } from 'prom-client';
import type { OutboxStore } from '#src/store/outbox.ts';
import type { Turns } from '#src/turns/turns-types.ts';

export interface Metrics {
  readonly registry: Registry;
  /** `route` is the pattern, never the address itself, which may carry a token. */
  request(labels: { method: string; route: string; status: number }, seconds: number): void;
  /** The same turns, counted by channel and outcome. */
  counted(turns: Turns): Turns;
}

/** What waits, was done and was given up, read when somebody asks. */
export function countOutbox({ registry }: Metrics, counts: OutboxStore['counts']): void {
  new Gauge({
    name: 'lapwing_outbox_entries',
    help: 'Summaries and notices by destination and state; "failed" are given up and kept.',
    labelNames: ['destination', 'state'],
    registers: [registry],
    async collect() {
      this.reset();
      // A database that is away must not take the other figures with it.
      for (const { destination, state, count } of await counts().catch(() => [])) {
        this.set({ destination: destination ?? 'none', state }, count);
      }
    },
  });
}

/** A registry of its own, so that several servers may live in one process. */
export function createMetrics(): Metrics {
  const registry = new Registry();
  collectDefaultMetrics({ register: registry });
  const requests = new Histogram({
    name: 'http_request_duration_seconds',
    help: 'Time from the request to the end of its answer.',
    labelNames: ['method', 'route', 'status'],
    buckets: [0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5],
    registers: [registry],
  });
  const turnCount = new Counter({
    name: 'lapwing_turns_total',
    help: 'Turns of conversations by channel and outcome.',
    labelNames: ['channel', 'outcome'],
    registers: [registry],
  });
  const count = async (channel: string, turn: ReturnType<Turns['handle']>) => {
    try {
      const result = await turn;
      turnCount.inc({ channel, outcome: result.replayed ? 'replayed' : 'answered' });
      return result;
    } catch (error) {
      turnCount.inc({ channel, outcome: 'failed' });
      throw error;
    }
  };
  return {
    registry,
    request: ({ method, route, status }, seconds) =>
      requests.observe({ method, route, status: String(status) }, seconds),
    counted: (turns) => ({
      open: (start) => count(start.channel, turns.open(start)),
      handle: (message) => count(message.channel, turns.handle(message)),
    }),
  };
}
