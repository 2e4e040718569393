import { preVisitSummarySchema } from '#shared/summary.ts';
import type { Clock } from '#src/clock.ts';
import type { Logger } from '#src/log.ts';
import {
  DESTINATIONS,
  type Delivery,
  type NoticeDestination,
  type OutboxStore,
  type Outcome,
} from '#src/store/outbox.ts';
import { backoffMs, patienceFor } from './backoff.ts';
import type { DeliverToCaregiver } from './caregiver.ts';
import { messageId, type Send, type Sent } from './destination.ts';
import { createLane } from './lane.ts';
import { createLooking } from './looking.ts';

/** Longer than any try takes; after it the entry of a process that died is tried by another. */
const LEASE_MS = 120_000;
const AT_ONCE = 10;
const LOOK_MS = 5_000;
/** Clocks that are kept in step go back by less. */
const SET_BACK_MS = 60_000;

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
  let stopWatching = () => {};

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

  async function tryOnce(delivery: Delivery): Promise<void> {
    const outcome = await outcomeOf(delivery);
    await outbox.settle(delivery, outcome);
    const { destination, attempts } = delivery;
    if (outcome.kind === 'again') log.warn({ destination, attempts, why: outcome.why }, 'handing on failed for now');
    if (outcome.kind === 'failed') log.error({ destination, attempts, why: outcome.why }, 'handing on given up');
  }

  /** A try whose outcome cannot be written is begun anew when its lease is over. */
  const deliver = (delivery: Delivery): Promise<void> =>
    tryOnce(delivery).catch((error: unknown) => log.error({ err: error }, 'the outbox could not be written'));

  // One for each destination, so that one that hangs does not hold up the others.
  const lanes = DESTINATIONS.map((destination) =>
    createLane(async (limit) => (stopped ? [] : outbox.claim(from(0), from(LEASE_MS), limit, destination)), deliver),
  );

  /** The clock at the last look; at the first it may have been set back while nothing ran. */
  let lastMs = Number.POSITIVE_INFINITY;

  /** Gives how many deliveries that were put off by a clock that was ahead are due again. */
  async function followClock(): Promise<number> {
    const nowMs = clock().getTime();
    const found = nowMs < lastMs - SET_BACK_MS ? await outbox.setBack(from(0)) : 0;
    lastMs = nowMs;
    return found;
  }

  /** Gives the number of notices. */
  async function spread(): Promise<number> {
    for (let all = 0; ; ) {
      const notices = stopped ? 0 : await outbox.spread(names, from(0), AT_ONCE);
      if (notices === 0) return all;
      all += notices;
    }
  }

  async function run(): Promise<number> {
    await spread();
    const tries = await Promise.all(lanes.map((lane) => lane.run()));
    return tries.reduce((sum, count) => sum + count, 0);
  }

  const laneLooks = lanes.map((lane) => createLooking(lane.run, LOOK_MS, log));

  function wakeLanes(): void {
    for (const lane of lanes) lane.wake();
    for (const looks of laneLooks) looks.wake();
  }

  const spreading = createLooking(
    async () => {
      const found = await followClock();
      if ((await spread()) + found > 0) wakeLanes();
    },
    LOOK_MS,
    log,
  );

  function wake(): void {
    spreading.wake();
    wakeLanes();
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
      for (const lane of lanes) lane.wake();
      await Promise.all([spreading, ...laneLooks].map((looks) => looks.stop()));
      await Promise.all(lanes.map((lane) => lane.idle()));
    },
  };
}
