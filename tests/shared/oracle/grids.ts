import type { Child, Measure } from '#shared/case.ts';
import { plausibleRange, type Quantity, type Sex } from './growth.ts';
import { IN, LB } from './point.ts';

/** Ranges and absent numbers as grids of the values at which some rule decides. */
const EPSILON = 1e-4;

export interface Span {
  readonly min: number;
  readonly max: number;
}

export const spanOf = (value: Measure): Span | null =>
  value == null ? null : typeof value === 'number' ? { min: value, max: value } : value;

/** The ends of a span, and each critical value in it with its neighbours on both sides. */
export function grid({ min, max }: Span, critical: readonly number[]): number[] {
  if (min === max) return [min];
  const values = [min, max, ...critical.flatMap((c) => [c - EPSILON, c, c + EPSILON])];
  return [...new Set(values.filter((value) => value >= min && value <= max))].sort((a, b) => a - b);
}

const LAW_LB = [20, 30, 40, 55, 60, 65, 80, 100];
export const WEIGHTS = [...new Set([5, 26.5, 50, 90, ...LAW_LB])].map((pounds) => pounds * LB);
export const HEIGHTS = [40, 49, 50, 57, 63, 65].map((inches) => inches * IN);
const AGES = [12, 24, 36, 48, 60, 72, 84, 96, 108, 120, 144, 156, 180, 192, 204, 216, 241];

const dateOf = (text: string, end: 'first' | 'last'): [number, number, number] => {
  const [year = 0, month, day] = text.split('-').map(Number);
  if (end === 'first') return [year, month ?? 1, day ?? 1];
  const m = month ?? 12;
  return [year, m, day ?? new Date(Date.UTC(year, m, 0)).getUTCDate()];
};

/** Completed calendar months, the day of birth counted as reached on the last day of a shorter month. */
function monthsBetween(birth: [number, number, number], today: [number, number, number]): number {
  const lastDay = new Date(Date.UTC(today[0], today[1], 0)).getUTCDate();
  const whole = (today[0] - birth[0]) * 12 + today[1] - birth[1];
  return today[2] >= Math.min(birth[2], lastDay) ? whole : whole - 1;
}

export function ageSpan(child: Child, asOf: string): Span | null {
  if (child.ageMonths != null) return spanOf(child.ageMonths);
  if (child.birthDate == null) return null;
  const today = dateOf(asOf, 'first');
  const oldest = monthsBetween(dateOf(child.birthDate, 'first'), today);
  return { min: Math.max(0, monthsBetween(dateOf(child.birthDate, 'last'), today)), max: oldest };
}

export function agesOf(child: Child, asOf: string, labelAges: readonly number[]): number[] {
  const span = ageSpan(child, asOf) ?? { min: 0, max: 1200 };
  const critical = [...AGES, ...labelAges.map(Math.ceil)];
  const values = [span.min, span.max, ...critical.flatMap((c) => [c - 1, c])];
  return [...new Set(values.filter((value) => value >= span.min && value <= span.max))];
}

/** "Not plausible for every possible sex and every age in range" (rules.md, Findings). */
export function implausible(child: Child, asOf: string, quantity: Quantity): boolean {
  const stated = spanOf(quantity === 'weight' ? child.weightKg : child.heightCm);
  const ages = ageSpan(child, asOf);
  if (!stated || !ages) return false;
  const sexes: readonly Sex[] = child.sex ? [child.sex] : ['female', 'male'];
  for (const sex of sexes)
    for (let age = Math.ceil(ages.min); age <= ages.max; age++) {
      const range = plausibleRange(quantity, sex, age);
      if (!range || (stated.max >= range.min && stated.min <= range.max)) return false;
    }
  return true;
}

export const limitValues = (limit: Measure | undefined): readonly number[] => {
  const span = spanOf(limit ?? null);
  return span ? [span.min, span.max] : [];
};
