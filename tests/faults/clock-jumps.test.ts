import { expect, it } from 'vitest';
import { LIMIT_MS, LONG, tell } from './rig/long.ts';
import { makeScene } from './rig/scene.ts';

const ROUNDS = LONG ? 12 : 1;
const FAMILIES_AT_ONCE = LONG ? 8 : 3;
const DAY = 24;
/** In hours. The last leaves the clock behind all that was written before. */
const JUMPS = [1, -2, 3 * DAY, -DAY, 20 * DAY, -0.5, -40 * DAY];

it(
  'a clock that jumps by hours and days, forward and back, stops no family and no summary',
  async () => {
    const scene = await makeScene('clock-jumps', {
      seed: 20260523,
      // As they are by default: they count by the clock.
      settings: { LAPWING_ADDRESS_LIMIT: '1200', LAPWING_CONVERSATION_LIMIT: '120' },
    });
    const { clock, network, service } = scene;
    await service.start();
    scene.load(FAMILIES_AT_ONCE, 0);
    const jumps = Array.from({ length: ROUNDS }, () => JUMPS).flat();
    for (const hours of jumps) {
      await scene.amidst(5, 40);
      clock.jump(hours);
    }
    await scene.acknowledged(20);
    const outcome = await scene.check();
    tell('clock jumps', { jumps: jumps.length, hours: jumps, ...outcome, ...network.traffic });
    expect(outcome.problems).toEqual([]);
    expect(outcome.summaries).toBeGreaterThan(0);
    expect(network.traffic.lost).toBe(0);
    expect(Object.keys(network.traffic.refused).filter((status) => !['403', '429'].includes(status))).toEqual([]);
  },
  LIMIT_MS,
);
