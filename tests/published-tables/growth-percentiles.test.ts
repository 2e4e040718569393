import { describe, expect, test } from 'vitest';
import { lmsAt } from '#shared/growth/tables.ts';
import { valueAtZ } from '#shared/growth/z-score.ts';
import type { PublishedTable } from './growth-csv.ts';
import { readPublished } from './growth-csv.ts';

// Deviations as found when the tables were compiled: the publishers' rounding, and for WHO its single decimal.
const TABLES: readonly { table: PublishedTable; rows: number; cells: number; within: number }[] = [
  { table: 'cdc2000-weight-infant', rows: 76, cells: 684, within: 4.1e-8 },
  { table: 'cdc2000-length-infant', rows: 74, cells: 666, within: 1.75e-5 },
  { table: 'cdc2000-weight-2to20', rows: 436, cells: 3924, within: 3e-7 },
  { table: 'cdc2000-stature-2to20', rows: 436, cells: 3924, within: 2.6e-7 },
  { table: 'who2006-weight', rows: 122, cells: 2684, within: 0.05 },
  { table: 'who2006-length-height', rows: 124, cells: 2728, within: 0.0500001 },
];

describe('every published percentile follows from the published L, M and S', () => {
  for (const { table, rows, cells, within } of TABLES)
    test(`${table}: ${cells} cells within ${within}`, () => {
      const published = readPublished(table);
      expect(published).toHaveLength(rows);
      let checked = 0;
      let worst = 0;
      for (const { lms, printed } of published)
        for (const { z, value } of printed.values()) {
          checked++;
          worst = Math.max(worst, Math.abs(valueAtZ(lms, z) - value));
        }
      expect(checked).toBe(cells);
      expect(worst).toBeLessThanOrEqual(within);
    });
});

describe('the tables the rules use hold every published row', () => {
  test('CDC 2000 weight and stature from 24 to 240 months', () => {
    for (const [table, measure] of [
      ['cdc2000-weight-2to20', 'weight'],
      ['cdc2000-stature-2to20', 'height'],
    ] as const)
      for (const row of readPublished(table))
        expect(lmsAt('CDC 2000', measure, row.sex, row.ageMonths)).toEqual(row.lms);
  });

  test('WHO 2006 weight from birth to 60 months', () => {
    for (const row of readPublished('who2006-weight'))
      expect(lmsAt('WHO 2006', 'weight', row.sex, row.ageMonths)).toEqual(row.lms);
  });

  test('WHO 2006 length below 24 months, height from 24 months on', () => {
    let lengths = 0;
    for (const row of readPublished('who2006-length-height')) {
      const overlap = row.kind === 'length' && row.ageMonths === 24;
      if (overlap) expect(lmsAt('WHO 2006', 'height', row.sex, 24).m).toBeCloseTo(row.lms.m - 0.7, 10);
      else expect(lmsAt('WHO 2006', 'height', row.sex, row.ageMonths)).toEqual(row.lms);
      if (row.kind === 'length') lengths++;
    }
    expect(lengths).toBe(50);
  });

  test('an age past a table is refused, not extrapolated', () => {
    expect(() => lmsAt('WHO 2006', 'weight', 'male', 60.5)).toThrow(RangeError);
    expect(() => lmsAt('CDC 2000', 'height', 'female', 241)).toThrow(RangeError);
    expect(() => lmsAt('CDC 2000', 'weight', 'female', 23)).toThrow(RangeError);
  });
});
