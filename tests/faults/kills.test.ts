import { once } from 'node:events';
import { watch } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { LIMIT_MS, LONG, tell } from './rig/long.ts';
import { makeScene } from './rig/scene.ts';

const KILLS = LONG ? 100 : 3;
const FAMILIES_AT_ONCE = LONG ? 8 : 3;

/** The moment at which something is written into the database: a turn's commit is under way, or just done. */
async function aWrite(folder: string): Promise<void> {
  const log = watch(join(folder, 'lapwing.db-wal'));
  await once(log, 'change');
  log.close();
}

it(
  'a service on SQLite that is killed at random points under load loses nothing and does nothing twice',
  async () => {
    const scene = await makeScene('kills', { seed: 20260516 });
    const { faults, folder, network, service } = scene;
    await service.start();
    scene.load(FAMILIES_AT_ONCE, 0.3);
    let beforeReady = 0;
    for (let kills = 0; kills < KILLS; kills++) {
      if (kills % 3 === 2 && (await service.startAndKill(faults.whole(50, 700)))) {
        beforeReady++;
        continue;
      }
      if (!service.address()) await service.start();
      await scene.amidst(1, 60);
      if (kills % 2 === 1) await aWrite(folder);
      await service.end('SIGKILL');
    }
    await service.start();
    const outcome = await scene.check();
    tell('SIGKILL on SQLite', { kills: KILLS, beforeReady, ...outcome, ...network.traffic });
    expect(outcome.problems).toEqual([]);
    expect(outcome.summaries).toBeGreaterThan(0);
  },
  LIMIT_MS,
);
