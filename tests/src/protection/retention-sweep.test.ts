import { afterEach, expect, it, vi } from 'vitest';
import { createLog } from '#src/log.ts';
import { createSweep } from '#src/protection/retention-sweep.ts';
import type { Purged } from '#src/store/retention.ts';

afterEach(() => {
  vi.useRealTimers();
});

const HOUR_MS = 60 * 60 * 1000;
const NOTHING: Purged = { conversations: 0, cases: 0, outbox: 0, audit: 0 };

function aSweep(days: number | null, purge: (before: string) => Promise<Purged>) {
  const lines: string[] = [];
  const log = createLog('info', { write: (line) => lines.push(line) });
  return { lines, sweep: createSweep({ purge, days, clock: () => new Date(), log }) };
}

it('runs at the start and every six hours, with the cutoff of that moment, until it is stopped', async () => {
  vi.useFakeTimers({ now: new Date('2026-05-16T12:00:00.000Z') });
  const cutoffs: string[] = [];
  const { sweep } = aSweep(10, async (before) => {
    cutoffs.push(before);
    return NOTHING;
  });
  sweep.start();
  await vi.advanceTimersByTimeAsync(12 * HOUR_MS);
  expect(cutoffs).toEqual(['2026-05-06T12:00:00.000Z', '2026-05-06T18:00:00.000Z', '2026-05-07T00:00:00.000Z']);
  await sweep.stop();
  await vi.advanceTimersByTimeAsync(24 * HOUR_MS);
  expect(cutoffs).toHaveLength(3);
});

it('purges nothing at the first look after the clock leapt forward, and goes by it if it still stands at the next', async () => {
  const HALF_A_YEAR_MS = 182 * 24 * HOUR_MS;
  let nowMs = Date.parse('2026-05-16T12:00:00.000Z');
  let steadyMs = 0;
  const cutoffs: string[] = [];
  const lines: string[] = [];
  const sweep = createSweep({
    purge: async (before) => {
      cutoffs.push(before.slice(0, 10));
      return NOTHING;
    },
    days: 10,
    clock: () => new Date(nowMs),
    steadyMs: () => steadyMs,
    log: createLog('error', { write: (line) => lines.push(line) }),
  });
  const look = async (leapMs: number) => {
    nowMs += 6 * HOUR_MS + leapMs;
    steadyMs += 6 * HOUR_MS;
    await sweep.run();
  };
  await look(0);
  await look(HALF_A_YEAR_MS);
  expect(cutoffs).toEqual(['2026-05-06']);
  expect(lines.join('')).toContain('"hours":4368');
  await look(-HALF_A_YEAR_MS);
  await look(HALF_A_YEAR_MS);
  await look(0);
  expect(cutoffs).toEqual(['2026-05-06', '2026-05-07', '2026-11-05']);
});

it('does nothing where everything is kept', async () => {
  vi.useFakeTimers();
  const purge = vi.fn(async () => NOTHING);
  const { sweep } = aSweep(null, purge);
  sweep.start();
  await vi.advanceTimersByTimeAsync(24 * HOUR_MS);
  await sweep.run();
  expect(purge).not.toHaveBeenCalled();
});

it('logs how much went, and goes on after a failure', async () => {
  let fails = true;
  const { sweep, lines } = aSweep(10, async () => {
    if (fails) throw new Error('the name of a child');
    return { ...NOTHING, conversations: 3 };
  });
  await sweep.run();
  fails = false;
  await sweep.run();
  expect(lines).toHaveLength(2);
  expect(lines[0]).not.toContain('child');
  expect(lines[1]).toContain('"conversations":3');
});
