import { expect, it, onTestFinished } from 'vitest';
import { chance as chanceOf } from '../families/chance.ts';
import { aFolder } from './rig/a-folder.ts';
import { checkAll } from './rig/check.ts';
import { settableClock } from './rig/clock.ts';
import { addressesOf, instance } from './rig/instance.ts';
import { startLoad } from './rig/interview.ts';
import { LIMIT_MS, LONG, tell } from './rig/long.ts';
import { createNetwork, pause } from './rig/network.ts';
import { startReceivers } from './rig/receivers.ts';

const SEED = 20260516;
const KILLS = LONG ? 100 : 4;
const FAMILIES_AT_ONCE = LONG ? 8 : 4;

it(
  'a service on SQLite that is killed at random points under load loses nothing and does nothing twice',
  async () => {
    const chance = chanceOf(SEED);
    const faults = chanceOf(SEED + 1);
    const folder = aFolder('kills');
    const clock = settableClock(folder);
    const receivers = await startReceivers(chance);
    const service = instance(folder, { ...receivers.settings, ...clock.settings });
    onTestFinished(async () => {
      await service.end('SIGKILL');
      receivers.close();
    });
    const network = createNetwork(addressesOf([service]), chance);
    await service.start();
    const load = startLoad(network, FAMILIES_AT_ONCE, { chance, givesUp: 0.1 });
    let early = 0;
    for (let kill = 0; kill < KILLS; kill++) {
      if (kill % 4 === 3 && (await service.startAndKill(faults.whole(50, 700)))) early++;
      if (!service.address()) await service.start();
      await Promise.race([network.acknowledgedMore(faults.whole(1, 60)), load.failed]);
      // Somewhere within the turns that are under way.
      await pause(faults.whole(0, 12));
      await service.end('SIGKILL');
    }
    // What the last process had begun to hand on is tried again when its lease is over.
    clock.jump(1);
    await service.start();

    const outcome = await checkAll(network, await load.stop(), receivers, { chance, nudge: () => clock.jump(1) });
    tell('SIGKILL on SQLite', { kills: KILLS, beforeReady: early, ...outcome, ...network.traffic });
    expect(outcome.problems).toEqual([]);
    expect(outcome.summaries).toBeGreaterThan(0);
  },
  LIMIT_MS,
);
