import { describe, expect, test } from 'vitest';
import { SOURCES } from '#shared/parameters/sources.ts';
import type { HardwareItem } from '#shared/vehicle/hardware.ts';
import { expectedHardware } from '#shared/vehicle/hardware.ts';

const expectation = (item: HardwareItem, year: number) => expectedHardware(year)[item].expectation;

describe('what a model year lets one expect', () => {
  // 49 CFR 571.225 (S-051 to S-053, read by model year in S-069) and 571.208 (S-080, S-085, S-087).
  test.each<[HardwareItem, [number, string][]]>([
    [
      'lowerAnchors',
      [
        [1999, 'not-expected'],
        [2000, 'check'],
        [2002, 'check'],
        [2003, 'expected'],
        [2026, 'expected'],
      ],
    ],
    [
      'tetherAnchors',
      [
        [1999, 'not-expected'],
        [2000, 'check'],
        [2001, 'expected'],
      ],
    ],
    [
      'lockableBelts',
      [
        [1994, 'not-expected'],
        [1995, 'check'],
        [1996, 'expected'],
      ],
    ],
    [
      'rearCenterLapShoulderBelt',
      [
        [2005, 'not-expected'],
        [2006, 'check'],
        [2007, 'check'],
        [2008, 'expected'],
      ],
    ],
  ])('%s: %j', (item, years) => {
    for (const [year, expected] of years) expect(expectation(item, year), String(year)).toBe(expected);
  });

  test('once expected, always expected', () => {
    const order = ['not-expected', 'check', 'expected'];
    for (const item of Object.keys(expectedHardware(2000)) as HardwareItem[])
      for (let year = 1980; year < 2030; year++)
        expect(order.indexOf(expectation(item, year + 1))).toBeGreaterThanOrEqual(
          order.indexOf(expectation(item, year)),
        );
  });

  test('every expectation cites sources that exist', () => {
    for (const { sources } of Object.values(expectedHardware(2010))) {
      expect(sources.length).toBeGreaterThan(0);
      for (const id of sources) expect(SOURCES[id].statement).not.toBe('');
    }
  });
});
