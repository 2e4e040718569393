import { preVisitSummarySchema } from '#shared/summary.ts';
import type { Clock } from '#src/clock.ts';
import type { Logger } from '#src/log.ts';
import type { Delivery, NoticeDestination, OutboxStore, Outcome } from '#src/store/outbox.ts';
import { backoffMs, patienceFor } from './backoff.ts';
import type { DeliverToCaregiver } from './caregiver.ts';
import { messageId, type Send, type Sent } from './destination.ts';

/** Longer than any try takes; after it the entry of a process that died is tried by another. */
const LEASE_MS = 120_000;
const AT_ONCE = 10;
const LOOK_MS = 5_000;

export interface DispatcherDeps {
  readonly outbox: OutboxStore;
  /** Where notices go; what is not set is not spread to. */
  readonly destinations: Readonly<Partial<Record<NoticeDestination, Send>>>;
  /** Delivers messages into their conversations. */
  readonly caregiver?: DeliverToCaregiver;
  readonly clock: Clock;
  /** From 0 to 1. */
  readonly random: () => number;
  readonly log: Logger;
}

export interface Dispatcher {
  /** Hands on everything that is due; gives the number of tries. */
  run(): Promise<number>;
  /** Looks for work now and then, and whenever this process has put some. */
  start(): void;
  /** Begins nothing more, and waits for what is under way. */
  stop(): Promise<void>;
}

const notSet: Sent = { ok: false, why: 'this destination is no longer set', retry: false };
const notReadable: Sent = { ok: false, why: 'the stored summary cannot be read', retry: false };

/** Hands on what the outbox holds: at least once each, under an id by which the receiver knows a repetition. */
export function createDispatcher(deps: DispatcherDeps): Dispatcher {
  const { outbox, destinations, caregiver, clock, random, log } = deps;
  const names = Object.keys(destinations) as NoticeDestination[];
  const from = (ms: number) => new Date(clock().getTime() + ms).toISOString();
  let stopped = false;
  let timer: NodeJS.Timeout | null = null;
  let running: Promise<void> | null = null;
  let stopWatching = () => {};
  /** Something was put while a look was under way, which may have missed it. */
  let missed = false;

  async function send(delivery: Delivery): Promise<Sent> {
    const { kind, payload, destination, idempotencyKey, createdAt } = delivery;
    if (destination === 'caregiver') return caregiver ? caregiver(delivery) : notSet;
    const to = destinations[destination];
    const { data: summary } = preVisitSummarySchema.safeParse(payload);
    if (!to) return notSet;
    if (!summary || kind === 'caregiver-message') return notReadable;
    return to({ id: messageId(idempotencyKey), kind, summary, at: createdAt });
  }

  async function outcomeOf(delivery: Delivery): Promise<Outcome> {
    const { attempts } = delivery;
    const patience = patienceFor(delivery.destination);
    const sent = await send(delivery);
    if (sent.ok) return { kind: 'done' };
    if (!sent.retry || attempts >= patience.attempts) return { kind: 'failed', why: sent.why };
    const waitMs = Math.max(backoffMs(attempts, random(), patience.longestMs), sent.afterMs ?? 0);
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

  function look(): void {
    timer = null;
    missed = false;
    running = run()
      .then(() => {})
      .catch((error: unknown) => log.error({ err: error }, 'the outbox could not be read'))
      .then(() => {
        running = null;
        plan(missed ? 0 : LOOK_MS);
      });
  }

  function plan(ms: number): void {
    if (timer) clearTimeout(timer);
    if (stopped) return;
    timer = setTimeout(look, ms);
    timer.unref();
  }

  function wake(): void {
    missed = true;
    if (!running) plan(0);
  }

  return {
    run,
    start() {
      stopWatching = outbox.watch(wake);
      wake();
    },
    async stop() {
      stopped = true;
      stopWatching();
      if (timer) clearTimeout(timer);
      await running;
    },
  };
}
