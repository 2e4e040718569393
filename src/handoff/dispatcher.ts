import { type PreVisitSummary, preVisitSummarySchema } from '#shared/summary.ts';
import type { Clock } from '#src/clock.ts';
import type { Logger } from '#src/log.ts';
import type { Delivery, Destination, OutboxStore, Outcome } from '#src/store/outbox.ts';
import { backoffMs, MOST_ATTEMPTS } from './backoff.ts';
import { messageId, type Send } from './destination.ts';

/** Longer than any try takes; after it the entry of a process that died is tried by another. */
const LEASE_MS = 120_000;
const AT_ONCE = 10;
const LOOK_MS = 5_000;

export interface DispatcherDeps {
  readonly outbox: OutboxStore;
  readonly destinations: Readonly<Partial<Record<Destination, Send>>>;
  readonly clock: Clock;
  /** From 0 to 1. */
  readonly random: () => number;
  readonly log: Logger;
}

export interface Dispatcher {
  /** Hands on everything that is due; gives the number of tries. */
  run(): Promise<number>;
  /** Looks for work now and then. */
  start(): void;
  /** Begins nothing more, and waits for what is under way. */
  stop(): Promise<void>;
}

/** Hands on what the outbox holds: at least once each, under an id by which the receiver knows a repetition. */
export function createDispatcher({ outbox, destinations, clock, random, log }: DispatcherDeps): Dispatcher {
  const names = Object.keys(destinations) as Destination[];
  const from = (ms: number) => new Date(clock().getTime() + ms).toISOString();
  let stopped = false;
  let timer: NodeJS.Timeout | null = null;
  let running: Promise<unknown> = Promise.resolve();

  async function outcomeOf({
    kind,
    payload,
    destination,
    idempotencyKey,
    attempts,
    createdAt,
  }: Delivery): Promise<Outcome> {
    const send = destinations[destination];
    const summary = preVisitSummarySchema.safeParse(payload).data as PreVisitSummary | undefined;
    if (!send) return { kind: 'failed', why: 'this destination is no longer set' };
    if (!summary) return { kind: 'failed', why: 'the stored summary cannot be read' };
    const sent = await send({ id: messageId(idempotencyKey), kind, summary, at: createdAt });
    if (sent.ok) return { kind: 'done' };
    if (!sent.retry || attempts >= MOST_ATTEMPTS) return { kind: 'failed', why: sent.why };
    const waitMs = Math.max(backoffMs(attempts, random()), sent.afterMs ?? 0);
    return { kind: 'again', dueAt: from(waitMs), why: sent.why };
  }

  async function deliver(delivery: Delivery): Promise<void> {
    const outcome = await outcomeOf(delivery);
    await outbox.settle(delivery, outcome);
    const { destination, attempts } = delivery;
    if (outcome.kind === 'again') log.warn({ destination, attempts, why: outcome.why }, 'handing on failed for now');
    if (outcome.kind === 'failed') log.error({ destination, attempts, why: outcome.why }, 'handing on given up');
  }

  async function run(): Promise<number> {
    let tries = 0;
    while (!stopped) {
      const spread = await outbox.spread(names, from(0), AT_ONCE);
      const claimed = stopped ? [] : await outbox.claim(from(0), from(LEASE_MS), AT_ONCE);
      await Promise.all(claimed.map(deliver));
      tries += claimed.length;
      if (spread + claimed.length === 0) break;
    }
    return tries;
  }

  const look = () => {
    if (stopped) return;
    timer = null;
    running = run().catch((error: unknown) => log.error({ err: error }, 'the outbox could not be read'));
    running.then(() => plan(LOOK_MS));
  };

  function plan(ms: number): void {
    if (stopped || timer) return;
    timer = setTimeout(look, ms);
    timer.unref();
  }

  return {
    run,
    start: () => plan(0),
    async stop() {
      stopped = true;
      if (timer) clearTimeout(timer);
      await running;
    },
  };
}
