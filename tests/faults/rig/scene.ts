import { onTestFinished } from 'vitest';
import { chance as chanceOf } from '../../families/chance.ts';
import type { StartOptions } from '../../src/support/start-process.ts';
import { aFolder } from './a-folder.ts';
import { checkAll, type Outcome } from './check.ts';
import { settableClock } from './clock.ts';
import type { Family } from './family.ts';
import { addressesOf, type Instance, instance } from './instance.ts';
import { startLoad } from './interview.ts';
import { createNetwork, type Network, pause } from './network.ts';
import { startReceivers } from './receivers.ts';

export interface SceneOptions {
  readonly seed: number;
  readonly instances?: number;
  readonly settings?: Record<string, string>;
  readonly start?: StartOptions;
}

/** No instance takes longer than this over a turn; a fault falls somewhere within. */
const TURN_MS = 12;

/**
 * Services that are not started yet, with receivers, a clock and a network of families. What is chosen at random for the
 * families and for the faults are two sequences, so that the faults are the same on every run.
 */
export async function makeScene(name: string, { seed, instances = 1, settings = {}, start = {} }: SceneOptions) {
  const chance = chanceOf(seed);
  const faults = chanceOf(seed + 1);
  const folder = aFolder(name);
  const clock = settableClock(folder);
  const receivers = await startReceivers(chance);
  const all = { ...receivers.settings, ...clock.settings, ...settings };
  const services = Array.from({ length: instances }, () => instance(folder, all, start));
  onTestFinished(async () => {
    await Promise.all(services.map((service) => service.end('SIGKILL')));
    receivers.close();
  });
  const network: Network = createNetwork(addressesOf(services), chance);
  let load: ReturnType<typeof startLoad> | null = null;
  return {
    faults,
    folder,
    clock,
    receivers,
    services,
    /** The first of them. */
    service: services[0] as Instance,
    network,
    startAll: () => Promise.all(services.map((service) => service.start())),
    /** Families begin to write; the share of messages given up after a failure. */
    load(atOnce: number, givesUp: number) {
      load = startLoad(network, atOnce, { chance, givesUp });
      return load.families;
    },
    /** Waits for so many more acknowledged messages. */
    acknowledged: (messages: number) =>
      Promise.race([network.acknowledgedMore(messages), load?.failed ?? new Promise<never>(() => {})]),
    /** Waits for so many more, and for a moment within the turns that are under way then. */
    async amidst(fewest: number, most: number) {
      await this.acknowledged(faults.whole(fewest, most));
      await pause(faults.whole(0, TURN_MS));
    },
    /** Ends the load and checks everything; the clock goes forward, so that leases end and what failed is tried again. */
    async check(families?: readonly Family[]): Promise<Outcome> {
      const nudge = () => clock.jump(1);
      nudge();
      return checkAll(network, families ?? (await load?.stop()) ?? [], receivers, { chance, nudge });
    },
  };
}
