import type { Bounds } from '#shared/stock/odds.ts';
import { ABOUT_PARTS } from '#shared/stock/parts.ts';
import type { StockForecast, StockLine } from '#shared/stock/stock.ts';
import { csvLines } from '../report/export-files.ts';

export const STOCK_HEAD = [
  'section',
  'item',
  'expected_low',
  'expected_high',
  'bring_low',
  'bring_high',
  'reason',
  'sources',
] as const;

type Row = readonly (string | number | null)[];

const rounded = (value: number): number => Math.round(value * 1000) / 1000;
const ends = ({ low, high }: Bounds): readonly number[] => [rounded(low), rounded(high)];

/** A row for the line, and one for each of its reasons. */
const lineRows = (section: string, { item, expected, enough, reasons }: StockLine<string>, sources = ''): Row[] => [
  [section, item, ...ends(expected), ...ends(enough), null, sources],
  ...reasons.map((one): Row => [section, item, ...ends(one.expected), null, null, one.reason, one.sources.join(' ')]),
];

/** The forecast as comma-separated values, in codes; what families typed is made harmless as in every export. */
export const stockCsv = ({ seats, soon, parts, manuals, interpreters }: StockForecast): string =>
  csvLines([
    STOCK_HEAD,
    ...seats.flatMap((line) => lineRows('seats', line)),
    ...soon.flatMap((line) => lineRows('seats-soon', line)),
    ...parts.flatMap((line) => lineRows('parts', line, ABOUT_PARTS[line.item].sources.join(' '))),
    ...manuals.map(({ of, name, modelYear, likelyMissing, count }): Row => {
      const item = modelYear === null ? name : `${name} (${modelYear})`;
      return [`manuals-${of}`, item, 0, count, null, null, likelyMissing ? 'likely-missing' : null, ''];
    }),
    ...interpreters.flatMap(({ language, families, minutes }): Row[] => [
      ['interpreter-families', language, ...ends(families), null, null, null, ''],
      ['interpreter-minutes', language, ...ends(minutes), null, null, null, ''],
    ]),
  ]);
