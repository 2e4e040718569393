import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { arrange, MOST_LISTED } from '#shared/arrange.ts';
import { applyChange } from '#shared/arranging/changes.ts';
import { mayExchange } from '#shared/arranging/plan-table.ts';
import { parseCase } from '#shared/case.ts';
import { arbitraryFamily } from './arbitrary-family.ts';
import { bruteForce } from './brute-force.ts';
import { fewestByTrial } from './fewest-by-trial.ts';

const MOST_TRIED = 4;

const key = (places: readonly { childId: string; seatId: string | null; positionId: string; mode: string }[]) =>
  places.map(({ childId, seatId, positionId, mode }) => [childId, seatId, positionId, mode].join(' ')).join('; ');

const compare = (a: readonly number[], b: readonly number[]): number => {
  const at = a.findIndex((value, i) => value !== b[i]);
  return at < 0 ? 0 : (a[at] ?? 0) - (b[at] ?? 0);
};

describe('the search for plans', () => {
  it('finds the same plans as trying all does, as many, and in the order of the preferences', () => {
    let planned = 0;
    let listedAll = 0;
    fc.assert(
      fc.property(arbitraryFamily(4), (family) => {
        expect(parseCase(family).ok).toBe(true);
        const { arrangements, total } = arrange(family);
        const tried = new Map(bruteForce(family).map(({ places, cost }) => [key(places), cost]));
        expect(total).toBe(tried.size);
        expect(arrangements).toHaveLength(Math.min(total, MOST_LISTED));
        const costs = arrangements.map(({ places }) => tried.get(key(places)));
        expect(new Set(arrangements.map(({ places }) => key(places))).size).toBe(arrangements.length);
        expect(costs).not.toContain(undefined);
        const best = [...tried.values()].sort(compare).slice(0, MOST_LISTED);
        expect(costs).toEqual(best);
        if (total > 1) planned++;
        if (total > 0 && total <= MOST_LISTED) listedAll++;
      }),
      { numRuns: 400 },
    );
    // Families without any plan would show nothing.
    expect(planned).toBeGreaterThan(100);
    expect(listedAll).toBeGreaterThan(100);
  });

  it('names changes that each make a plan possible, with no part of a set that would do', () => {
    let blocked = 0;
    fc.assert(
      fc.property(arbitraryFamily(3), (family) => {
        const { total, blockedBy } = arrange(family);
        if (total > 0) {
          expect(blockedBy).toEqual([]);
          return;
        }
        blocked++;
        expect(new Set(blockedBy.map((set) => set.join())).size).toBe(blockedBy.length);
        for (const set of blockedBy.slice(0, 12))
          for (let bits = 0; bits < 2 ** set.length; bits++) {
            const part = set.filter((_, i) => (bits & (1 << i)) !== 0);
            expect([part, arrange(part.reduce(applyChange, family)).total > 0]).toEqual([
              part,
              part.length === set.length,
            ]);
          }
      }),
      { numRuns: 250 },
    );
    expect(blocked).toBeGreaterThan(60);
  });

  it.each([
    ['few', arbitraryFamily(4), 100],
    ['five or six', arbitraryFamily(6, 5), 60],
    ['seven or eight', arbitraryFamily(8, 7), 60],
  ] as const)('names as few changes as trying all does, with %s children', (_, families, numRuns) => {
    const sizes: number[] = [];
    fc.assert(
      fc.property(families, (family) => {
        const { total, blockedBy } = arrange(family);
        if (total > 0) return;
        const size = blockedBy[0]?.length ?? 0;
        expect(blockedBy.every((set) => set.length === size)).toBe(true);
        // Trying all takes too long where much must change; then nothing smaller within reach may do.
        const reach = Math.min(size, MOST_TRIED);
        const tried = fewestByTrial(family, mayExchange(family), reach);
        if (size > 0) expect(tried).toBe(size <= MOST_TRIED ? size : null);
        sizes.push(size);
      }),
      { numRuns },
    );
    expect(sizes.length).toBeGreaterThan(20);
    expect(new Set(sizes).size).toBeGreaterThan(2);
  });
});
