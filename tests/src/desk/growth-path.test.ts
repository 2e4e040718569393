import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { addMonths } from '#shared/dates.ts';
import { forecastLimit } from '#shared/growth/forecast.ts';
import { growthPath } from '#src/desk/growth-path.ts';

const AS_OF = '2026-05-16';
const exact = (value: number) => ({ min: value, max: value });
const measure = fc.constantFrom('weight', 'height' as const);
const sex = fc.constantFrom('female', 'male' as const);

describe('the path of growth', () => {
  it('meets a limit in the very months that the forecast names', () => {
    let met = 0;
    const size = fc.record({
      measure,
      sex,
      months: fc.integer({ min: 0, max: 100 }),
      share: fc.double({ min: 0.85, max: 1.2, noNaN: true }),
      room: fc.double({ min: 1.01, max: 1.5, noNaN: true }),
    });
    fc.assert(
      fc.property(size, ({ measure: what, sex: whose, months, share, room }) => {
        const usual = what === 'weight' ? 3.5 + 0.25 * months : 52 + 0.7 * months;
        const input = { measure: what, value: exact(usual * share), age: exact(months), sex: whose };
        const limit = usual * share * room;
        const path = growthPath(input, 24);
        const forecast = forecastLimit({ ...input, limit, asOf: AS_OF });
        const at = (key: 'high' | 'likely' | 'low') => path.find((point) => point[key] >= limit)?.ahead;
        const end = addMonths(AS_OF, path.at(-1)?.ahead ?? 0).slice(0, 7);
        for (const [key, said] of [
          ['high', forecast.earliest],
          ['likely', forecast.likely],
          ['low', forecast.latest],
        ] as const) {
          const ahead = at(key);
          if (ahead === undefined) expect(said === null || said > end, `${key}: ${said}`).toBe(true);
          else expect(said).toBe(addMonths(AS_OF, ahead).slice(0, 7));
          if (ahead !== undefined) met += 1;
        }
      }),
    );
    expect(met).toBeGreaterThan(50);
  });

  it('begins at the size of today, and opens around the likely size', () => {
    const path = growthPath({ measure: 'weight', value: exact(12.3), age: exact(26), sex: 'female' }, 24);
    expect(path[0]).toEqual({ ahead: 0, low: 12.3, likely: 12.3, high: 12.3 });
    expect(path).toHaveLength(25);
    for (const { low, likely, high } of path) expect(low <= likely && likely <= high).toBe(true);
    const width = (ahead: number) => (path[ahead]?.high ?? 0) - (path[ahead]?.low ?? 0);
    expect(width(24)).toBeGreaterThan(width(12));
  });

  it('follows the median of the CDC table for a child at it', () => {
    // CDC growth charts 2000, weight for age, girls, 50th centile: 36.5 months 13.99 kg (from memory: about 14 kg).
    const now = growthPath({ measure: 'weight', value: exact(12.05), age: exact(24), sex: 'female' }, 12);
    expect(now.at(-1)?.likely).toBeGreaterThan(13.6);
    expect(now.at(-1)?.likely).toBeLessThan(14.3);
  });

  it('is as wide as what is not known', () => {
    const known = growthPath({ measure: 'height', value: exact(86), age: exact(26), sex: 'female' }, 24);
    const open = growthPath(
      { measure: 'height', value: { min: 84, max: 88 }, age: { min: 24, max: 28 }, sex: null },
      24,
    );
    for (const [i, { low, high }] of open.entries()) {
      expect(low).toBeLessThan(known[i]?.low ?? 0);
      expect(high).toBeGreaterThan(known[i]?.high ?? 0);
    }
  });

  it('ends with its table, and there is none past it', () => {
    expect(growthPath({ measure: 'weight', value: exact(9), age: exact(23), sex: 'male' }, 60).at(-1)?.ahead).toBe(37);
    expect(growthPath({ measure: 'weight', value: exact(60), age: exact(241), sex: 'male' }, 24)).toEqual([]);
  });
});
