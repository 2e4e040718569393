import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, it } from 'vitest';
import { LIMIT_MS, LONG, tell } from './rig/long.ts';
import { until } from './rig/network.ts';
import { makeScene } from './rig/scene.ts';
import { smallDisk } from './rig/small-disk.ts';

const FILLS = LONG ? 30 : 2;
const FAMILIES_AT_ONCE = LONG ? 8 : 3;

const folder = mkdtempSync(join(tmpdir(), 'lapwing-small-disk-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const disk = smallDisk(folder);
if (!disk) tell('disk full', { skipped: 'no file system of our own may be mounted here, and there is no prlimit' });

it.skipIf(!disk)(
  'a disk that is full costs no acknowledged message, and all goes on once there is room',
  async () => {
    if (!disk) return;
    const scene = await makeScene('disk-full', {
      seed: 20260519,
      settings: { LAPWING_DATA_DIR: folder },
      start: { through: disk.through },
    });
    const { network, service } = scene;
    await service.start();
    scene.load(FAMILIES_AT_ONCE, 0.05);
    for (let fills = 0; fills < FILLS; fills++) {
      await scene.amidst(5, 60);
      disk.fill(service.pid());
      const refused = () => Object.values(network.traffic.refused).reduce((sum, times) => sum + times, 0);
      const before = refused();
      await until(() => refused() >= before + 3 * FAMILIES_AT_ONCE);
      disk.empty(service.pid());
    }
    await scene.acknowledged(FAMILIES_AT_ONCE);
    const outcome = await scene.check();
    tell('disk full', { fills: FILLS, kind: disk.kind, ...outcome, ...network.traffic });
    expect(outcome.problems).toEqual([]);
    expect(outcome.summaries).toBeGreaterThan(0);
    // The service itself answered all the time, and said that it is safe to try again.
    expect(network.traffic.lost).toBe(0);
    expect(Object.keys(network.traffic.refused).filter((status) => !['403', '503'].includes(status))).toEqual([]);
  },
  LIMIT_MS,
);
