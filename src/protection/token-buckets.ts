import type { Clock } from '#src/clock.ts';

/** So many requests may come at once, and so many a minute in the long run. */
export interface Rate {
  readonly burst: number;
  readonly perMinute: number;
}

export interface TokenBuckets {
  /** Takes one token of a key; gives 0, or where none is left the seconds until there is one again (whole, at least 1). */
  take(key: string): number;
  /** How many keys are remembered. */
  size(): number;
}

/**
 * A token bucket for each key, in the memory of this process. At most `maxKeys` are remembered: beyond that the one
 * that was quiet longest is forgotten, and begins again with a full bucket.
 */
export function createTokenBuckets({ burst, perMinute }: Rate, maxKeys: number, clock: Clock): TokenBuckets {
  // A map keeps the order of insertion: the first key is the one that was quiet longest.
  const buckets = new Map<string, { readonly tokens: number; readonly atMs: number }>();
  return {
    take(key) {
      const nowMs = clock().getTime();
      const held = buckets.get(key) ?? { tokens: burst, atMs: nowMs };
      // A clock that was set back must not empty a bucket.
      const restedMs = Math.max(0, nowMs - held.atMs);
      const tokens = Math.min(burst, held.tokens + (restedMs * perMinute) / 60_000);
      const passes = tokens >= 1;
      buckets.delete(key);
      buckets.set(key, { tokens: passes ? tokens - 1 : tokens, atMs: nowMs });
      if (buckets.size > maxKeys) buckets.delete(buckets.keys().next().value as string);
      return passes ? 0 : Math.max(1, Math.ceil(((1 - tokens) * 60) / perMinute));
    },
    size: () => buckets.size,
  };
}
