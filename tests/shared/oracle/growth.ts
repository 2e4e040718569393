import { readFileSync } from 'node:fs';

/** A second, plain reading of the published growth tables (CDC 2000, WHO 2006), for the oracle alone. */
export type Sex = 'female' | 'male';
export type Quantity = 'weight' | 'height';

interface Row {
  readonly age: number;
  readonly l: number;
  readonly m: number;
  readonly s: number;
}

interface Table {
  readonly name: 'WHO 2006' | 'CDC 2000';
  readonly rows: readonly Row[];
}

const TABLES_AT = new URL('../../published-tables/', import.meta.url);

function load(file: string, sex: Sex, keep: (measure: string, age: number) => boolean): Row[] {
  const [head = '', ...lines] = readFileSync(new URL(file, TABLES_AT), 'utf8').trim().split('\n');
  const columns = head.trim().split(',');
  const at = (cells: string[], name: string) => cells[columns.findIndex((c) => c === name || c.startsWith(`${name}_`))];
  const number = (cells: string[], name: string) => Number(at(cells, name));
  return lines
    .map((line) => line.trim().split(','))
    .filter((cells) => at(cells, 'sex') === sex)
    .map((cells) => ({ measure: at(cells, 'measure') ?? '', cells }))
    .filter(({ measure, cells }) => keep(measure, number(cells, 'age')))
    .map(({ cells }) => ({
      age: number(cells, 'age'),
      l: number(cells, 'l'),
      m: number(cells, 'm'),
      s: number(cells, 's'),
    }));
}

const both = <T>(make: (sex: Sex) => T): Record<Sex, T> => ({ female: make('female'), male: make('male') });
const who = {
  weight: both((sex) => load('who2006-weight.csv', sex, () => true)),
  height: both((sex) =>
    load('who2006-length-height.csv', sex, (measure, age) => (age < 24 ? measure === 'length' : measure === 'height')),
  ),
};
const cdc = {
  weight: both((sex) => load('cdc2000-weight-2to20.csv', sex, () => true)),
  height: both((sex) => load('cdc2000-stature-2to20.csv', sex, () => true)),
};

/** The reference for a child of this age: WHO below 24 months, CDC up to 240, none after. */
export function tableFor(quantity: Quantity, sex: Sex, ageMonths: number): Table | null {
  if (ageMonths < 24) return { name: 'WHO 2006', rows: who[quantity][sex] };
  if (ageMonths <= 240) return { name: 'CDC 2000', rows: cdc[quantity][sex] };
  return null;
}

const remembered = new Map<readonly Row[], Map<number, Row | null>>();

/** L, M and S at an exact age, linear between the rows; null outside the table. */
export function lmsAt(table: Table, ageMonths: number): Row | null {
  const known = remembered.get(table.rows) ?? new Map<number, Row | null>();
  remembered.set(table.rows, known);
  const found = known.get(ageMonths);
  if (found !== undefined) return found;
  const row = interpolate(table, ageMonths);
  known.set(ageMonths, row);
  return row;
}

function interpolate(table: Table, ageMonths: number): Row | null {
  const exact = table.rows.find((row) => row.age === ageMonths);
  if (exact) return exact;
  const next = table.rows.findIndex((row) => row.age > ageMonths);
  const a = table.rows[next - 1];
  const b = table.rows[next];
  if (!a || !b) return null;
  const t = (ageMonths - a.age) / (b.age - a.age);
  const mix = (x: number, y: number) => x + t * (y - x);
  return { age: ageMonths, l: mix(a.l, b.l), m: mix(a.m, b.m), s: mix(a.s, b.s) };
}

export const zOf = ({ l, m, s }: Row, x: number): number =>
  l === 0 ? Math.log(x / m) / s : ((x / m) ** l - 1) / (l * s);
export const valueAt = ({ l, m, s }: Row, z: number): number =>
  l === 0 ? m * Math.exp(s * z) : m * (1 + l * s * z) ** (1 / l);

/** The plausible values for one sex and age (rules.md, Growth): null where there is no reference. */
export function plausibleRange(quantity: Quantity, sex: Sex, ageMonths: number): { min: number; max: number } | null {
  const table = tableFor(quantity, sex, ageMonths);
  const row = table && lmsAt(table, ageMonths);
  if (!row || !table) return null;
  const min = valueAt(row, -4);
  if (quantity === 'height') return { min, max: valueAt(row, 4) };
  const two = valueAt(row, 2);
  if (table.name === 'CDC 2000') return { min, max: row.m + 2 * (two - row.m) };
  const three = valueAt(row, 3);
  return { min, max: three + (three - two) };
}

/** z of the normal distribution at 10 and 90 %. */
const TENTH = 1.2815515655446004;

/** The first whole months ahead, to 60, at which a limit is reached with 10, 50 and 90 %; null past that or the table. */
export interface MonthsAhead {
  readonly earliest: number | null;
  readonly likely: number | null;
  readonly latest: number | null;
}

export function monthsAhead(
  quantity: Quantity,
  sex: Sex,
  ageMonths: number,
  now: number,
  limit: number,
  within = 60,
): MonthsAhead {
  const out: Record<keyof MonthsAhead, number | null> = { earliest: null, likely: null, latest: null };
  const table = tableFor(quantity, sex, ageMonths);
  const row = table && lmsAt(table, ageMonths);
  if (!table || !row) return out;
  const z = zOf(row, now);
  const a = Math.min(7, Math.max(0.5, ageMonths / 12));
  for (let m = 1; m <= within; m++) {
    const later = lmsAt(table, ageMonths + m);
    if (!later) break;
    const years = m / 12;
    const spread = quantity === 'weight' ? 0.58 * years ** 0.33 * a ** -0.3 : 0.58 * years ** 0.2 * a ** -0.25;
    const s = Math.min(0.95, spread);
    const expected = Math.sqrt(1 - s * s) * z;
    const goal = zOf(later, limit);
    if ((Math.max(z, expected) - goal) / s >= -TENTH) out.earliest ??= m;
    if (expected >= goal) out.likely ??= m;
    if ((expected - goal) / s >= TENTH) out.latest ??= m;
  }
  return out;
}
