import fc from 'fast-check';
import { expect, it } from 'vitest';
import { backoffMs, MOST_ATTEMPTS } from '#src/handoff/backoff.ts';

const HOUR = 60 * 60 * 1000;

it('waits four times as long after each try, up to half a day', () => {
  const longest = Array.from({ length: MOST_ATTEMPTS - 1 }, (_, i) => backoffMs(i + 1, 1));
  expect(longest.slice(0, 4)).toEqual([5_000, 20_000, 80_000, 320_000]);
  expect(Math.max(...longest)).toBe(12 * HOUR);
  const total = longest.reduce((sum, ms) => sum + ms, 0);
  expect(total / 2).toBeGreaterThan(20 * HOUR);
  expect(total).toBeLessThan(48 * HOUR);
});

it('spreads the tries over the second half of the wait, for any chance', () => {
  const chance = fc.double({ min: 0, max: 1, noNaN: true });
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 200 }), chance, chance, (attempts, one, other) => {
      const longest = backoffMs(attempts, 1);
      expect(backoffMs(attempts, one)).toBeGreaterThanOrEqual(longest / 2);
      expect(backoffMs(attempts, one)).toBeLessThanOrEqual(longest);
      if (one <= other) expect(backoffMs(attempts, one)).toBeLessThanOrEqual(backoffMs(attempts, other));
      expect(backoffMs(attempts + 1, one)).toBeGreaterThanOrEqual(backoffMs(attempts, one));
    }),
  );
});
