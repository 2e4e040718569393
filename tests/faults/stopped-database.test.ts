import { expect, it, onTestFinished } from 'vitest';
import { makePostgres } from '../store/postgres-server.ts';
import { LIMIT_MS, LONG, tell } from './rig/long.ts';
import { until } from './rig/network.ts';
import { makeScene } from './rig/scene.ts';

const STOPS = LONG ? 30 : 2;
const FAMILIES_AT_ONCE = LONG ? 8 : 3;

it(
  'while PostgreSQL is stopped and started under load families are told to try again, and nothing is lost',
  async () => {
    const postgres = await makePostgres({});
    onTestFinished(() => postgres.remove());
    const scene = await makeScene('stopped-database', {
      seed: 20260518,
      settings: {
        LAPWING_DATABASE_URL: postgres.url,
        LAPWING_SECRET_KEY: 'a key for the one instance of this test',
      },
    });
    const { network } = scene;
    await postgres.start();
    await scene.startAll();
    scene.load(FAMILIES_AT_ONCE, 0.05);
    for (let stops = 0; stops < STOPS; stops++) {
      await scene.amidst(5, 60);
      // Either it drops everything and goes through recovery at its start, or it lets its clients go.
      await postgres.stop(stops % 2 === 0 ? 'SIGQUIT' : 'SIGINT');
      const { sent } = network.traffic;
      // Everybody has tried in vain by then.
      await until(() => network.traffic.sent >= sent + 3 * FAMILIES_AT_ONCE);
      await postgres.start();
    }
    await scene.acknowledged(FAMILIES_AT_ONCE);
    const outcome = await scene.check();
    tell('PostgreSQL stopped and started', { stops: STOPS, ...outcome, ...network.traffic });
    expect(outcome.problems).toEqual([]);
    expect(outcome.summaries).toBeGreaterThan(0);
    // The service itself answered all the time, and said that it is safe to try again.
    expect(network.traffic.lost).toBe(0);
    expect(network.traffic.refused[503]).toBeGreaterThan(0);
    expect(Object.keys(network.traffic.refused).filter((status) => !['403', '503'].includes(status))).toEqual([]);
  },
  LIMIT_MS,
);
