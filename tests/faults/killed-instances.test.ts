import { expect, it } from 'vitest';
import { aDatabaseUrl } from '../store/places.ts';
import type { Instance } from './rig/instance.ts';
import { LIMIT_MS, LONG, tell } from './rig/long.ts';
import { makeScene } from './rig/scene.ts';

const KILLS = LONG ? 60 : 1;
const FAMILIES_AT_ONCE = LONG ? 9 : 3;

it(
  'of three instances on PostgreSQL one after the other is killed, and the others go on with all of it',
  async () => {
    const scene = await makeScene('killed-instances', {
      seed: 20260517,
      instances: 3,
      settings: {
        LAPWING_DATABASE_URL: await aDatabaseUrl(),
        LAPWING_SECRET_KEY: 'a key that all instances of this test share',
      },
    });
    const { faults, network, services } = scene;
    await scene.startAll();
    scene.load(FAMILIES_AT_ONCE, 0.1);
    let meanwhile = 0;
    for (let kills = 0; kills < KILLS; kills++) {
      await scene.amidst(5, 60);
      const victim = faults.oneOf<Instance>(services);
      await victim.end('SIGKILL');
      const before = network.traffic.acknowledged;
      await victim.start();
      meanwhile += network.traffic.acknowledged - before;
    }
    const outcome = await scene.check();
    tell('SIGKILL of one of three on PostgreSQL', { kills: KILLS, meanwhile, ...outcome, ...network.traffic });
    expect(outcome.problems).toEqual([]);
    expect(outcome.summaries).toBeGreaterThan(0);
    // The two that were left have answered while the third was away.
    expect(meanwhile).toBeGreaterThan(0);
  },
  LIMIT_MS,
);
