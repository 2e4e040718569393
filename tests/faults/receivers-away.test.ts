import { expect, it } from 'vitest';
import { LIMIT_MS, LONG, tell } from './rig/long.ts';
import { until } from './rig/network.ts';
import type { Weather } from './rig/receivers.ts';
import { makeScene } from './rig/scene.ts';

const ROUNDS = LONG ? 8 : 1;
const FAMILIES_AT_ONCE = LONG ? 8 : 3;
/** So many connections meet each weather at each receiver. */
const EACH = LONG ? 15 : 3;

const WEATHERS: readonly (readonly [webhook: Weather, mail: Weather])[] = [
  ['down', 'garbage'],
  ['garbage', 'slow'],
  ['slow', 'down'],
];

it(
  'webhook and mail server that are down, slow or answer garbage lose no summary and hold up no family',
  async () => {
    const scene = await makeScene('receivers-away', { seed: 20260522 });
    const { network, receivers, service } = scene;
    await service.start();
    scene.load(FAMILIES_AT_ONCE, 0);
    for (let round = 0; round < ROUNDS; round++) {
      for (const weathers of WEATHERS) {
        const before = [receivers.webhook.taken, receivers.mail.taken].map((taken) => ({ ...taken }));
        for (const [i, weather] of weathers.entries()) [receivers.webhook, receivers.mail][i]?.be(weather);
        await until(() =>
          weathers.every((weather, i) => {
            const taken = [receivers.webhook, receivers.mail][i]?.taken[weather] ?? 0;
            return taken - (before[i]?.[weather] ?? 0) >= EACH;
          }),
        );
        await scene.acknowledged(10);
      }
      // One receiver is there again while the other still says nothing.
      const { length } = receivers.letters;
      receivers.mail.be('up');
      await until(() => receivers.letters.length > length);
      receivers.webhook.be('up');
    }
    const outcome = await scene.check();
    const met: Record<string, number> = {};
    for (const [name, { taken }] of Object.entries({ webhook: receivers.webhook, mail: receivers.mail }))
      for (const [weather, count] of Object.entries(taken)) met[`${name} ${weather}`] = count;
    tell('webhook and mail server away', { met, ...outcome, ...network.traffic });
    expect(outcome.problems).toEqual([]);
    expect(outcome.summaries).toBeGreaterThan(0);
    expect(network.traffic.lost).toBe(0);
    expect(Object.keys(network.traffic.refused).filter((status) => status !== '403')).toEqual([]);
  },
  LIMIT_MS,
);
