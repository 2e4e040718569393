import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createTokenBuckets } from '#src/protection/token-buckets.ts';

const startMs = Date.parse('2026-05-16T12:00:00Z');

function withClock(rate: { burst: number; perMinute: number }, maxKeys = 100) {
  let nowMs = startMs;
  const buckets = createTokenBuckets(rate, maxKeys, () => new Date(nowMs));
  return {
    buckets,
    later: (ms: number) => {
      nowMs += ms;
    },
  };
}

describe('a token bucket', () => {
  it('lets a burst pass, says how long to wait, and lets one pass after just that long', () => {
    const { buckets, later } = withClock({ burst: 3, perMinute: 6 });
    expect([1, 2, 3].map(() => buckets.take('k'))).toEqual([0, 0, 0]);
    expect(buckets.take('k')).toBe(10);
    later(9_999);
    expect(buckets.take('k')).toBe(1);
    later(1);
    expect(buckets.take('k')).toBe(0);
    expect(buckets.take('k')).toBe(10);
  });

  it('is one for each key', () => {
    const { buckets } = withClock({ burst: 1, perMinute: 1 });
    expect([buckets.take('a'), buckets.take('b'), buckets.take('a')]).toEqual([0, 0, 60]);
  });

  it('never lets more pass than the burst and what has flowed in since, whatever the times', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 20 }),
        fc.integer({ min: 1, max: 200 }),
        fc.array(fc.integer({ min: 0, max: 5_000 }), { maxLength: 200 }),
        (burst, perMinute, pausesMs) => {
          const { buckets, later } = withClock({ burst, perMinute });
          const passed: number[] = [];
          let atMs = 0;
          for (const pauseMs of pausesMs) {
            later(pauseMs);
            atMs += pauseMs;
            if (buckets.take('k') === 0) passed.push(atMs);
          }
          return passed.every((from, i) =>
            passed.slice(i).every((to, n) => n + 1 <= burst + ((to - from) * perMinute) / 60_000 + 1e-6),
          );
        },
      ),
    );
  });

  it('stays usable when the clock is set back', () => {
    const { buckets, later } = withClock({ burst: 1, perMinute: 60 });
    buckets.take('k');
    later(-3_600_000);
    expect(buckets.take('k')).toBe(1);
    later(1_000);
    expect(buckets.take('k')).toBe(0);
  });

  it('remembers no more keys than it may, and forgets the one that was quiet longest', () => {
    const { buckets } = withClock({ burst: 1, perMinute: 1 }, 3);
    for (let i = 0; i < 10_000; i++) buckets.take(`other ${i}`);
    expect(buckets.size()).toBe(3);
    buckets.take('other 9997');
    buckets.take('new');
    expect([buckets.take('other 9997'), buckets.take('other 9999')]).toEqual([60, 60]);
    expect(buckets.take('other 9998')).toBe(0);
  });
});
