import { readFileSync } from 'node:fs';

/**
 * The published tables as tidy CSV: CDC 2000 (Vital and Health Statistics 11 No. 246) and WHO 2006 (Child Growth
 * Standards: Methods and development), with every printed percentile and SD column. Numbers only; digits of the sources.
 */
export type PublishedTable =
  | 'cdc2000-weight-infant'
  | 'cdc2000-length-infant'
  | 'cdc2000-weight-2to20'
  | 'cdc2000-stature-2to20'
  | 'who2006-weight'
  | 'who2006-length-height';

export interface PublishedRow {
  readonly sex: 'female' | 'male';
  readonly ageMonths: number;
  readonly kind: string;
  readonly lms: { readonly l: number; readonly m: number; readonly s: number };
  /** Printed value and the z it stands for, by column name. */
  readonly printed: ReadonlyMap<string, { readonly z: number; readonly value: number }>;
}

const Z_OF_PERCENTILE: Readonly<Record<string, number>> = {
  '0_1': -3.090232306167813,
  '1': -2.3263478740408408,
  '3': -1.880793608151251,
  '5': -1.6448536269514729,
  '10': -1.2815515655446004,
  '15': -1.0364333894937898,
  '25': -0.6744897501960817,
  '50': 0,
};

/** z of a column: percentiles above the median mirror those below; `sdneg2` is −2. */
const zOfColumn = (name: string): number | undefined => {
  const sd = /^sd(neg)?(\d)_/.exec(name);
  if (sd) return Number(sd[2]) * (sd[1] ? -1 : 1);
  const percentile = /^p(\d+(?:_\d)?)_(?:kg|cm)$/.exec(name)?.[1];
  if (percentile === undefined) return undefined;
  const below = Z_OF_PERCENTILE[percentile];
  if (below !== undefined) return below;
  const mirror = String(Math.round((100 - Number(percentile.replace('_', '.'))) * 10) / 10).replace('.', '_');
  return -(Z_OF_PERCENTILE[mirror] ?? Number.NaN);
};

export const readPublished = (table: PublishedTable): readonly PublishedRow[] => {
  const text = readFileSync(new URL(`${table}.csv`, import.meta.url), 'utf8');
  const [head = [], ...lines] = text
    .trim()
    .split('\n')
    .map((line) => line.trim().split(','));
  return lines.map((cells) => {
    const cell = (name: RegExp) => cells[head.findIndex((column) => name.test(column))] ?? '';
    const printed = new Map<string, { z: number; value: number }>();
    for (const [i, name] of head.entries()) {
      const z = zOfColumn(name);
      if (z !== undefined) printed.set(name, { z, value: Number(cells[i]) });
    }
    return {
      sex: cell(/^sex$/) === 'female' ? 'female' : 'male',
      ageMonths: Number(cell(/^age_months$/)),
      kind: cell(/^measure$/),
      lms: { l: Number(cell(/^l$/)), m: Number(cell(/^m_/)), s: Number(cell(/^s$/)) },
      printed,
    };
  });
};
