import type { RestraintMode } from '#shared/case.ts';
import { addMonths, firstDay, lastDay } from '#shared/dates.ts';
import { inToCm, lbToKg } from '#shared/units.ts';
import type { LabelField } from './label-print.ts';

/** No seat is made to be used for longer (common practice), in years. */
export const LONGEST_LIFE = 20;

type Span = readonly [least: number, most: number];
type Limit = `${'min' | 'max'}${'WeightKg' | 'HeightCm'}`;

const pounds = (least: number, most: number): Span => [lbToKg(least) - 0.1, lbToKg(most) + 0.1];
const inches = (least: number, most: number): Span => [inToCm(least) - 0.1, inToCm(most) + 0.1];

/**
 * What limits a label can state for a way of riding (common practice in North America, wide of every seat on sale); 49 CFR
 * 571.213 S5.5.2 itself names 26.5 lb forward-facing and 40 lb on a booster as the least from 2025 on, earlier labels less.
 */
const CAN_BE: Readonly<Record<RestraintMode & string, Readonly<Record<Limit, Span>>>> = {
  'rear-facing': {
    minWeightKg: pounds(2, 20),
    maxWeightKg: pounds(18, 55),
    minHeightCm: inches(14, 30),
    maxHeightCm: inches(24, 52),
  },
  'forward-facing': {
    minWeightKg: pounds(18, 45),
    maxWeightKg: pounds(35, 135),
    minHeightCm: inches(24, 44),
    maxHeightCm: inches(34, 65),
  },
  booster: {
    minWeightKg: pounds(25, 65),
    maxWeightKg: pounds(60, 165),
    minHeightCm: inches(30, 56),
    maxHeightCm: inches(42, 67),
  },
};
const MODES = ['rear-facing', 'forward-facing', 'booster'] as const;
const MEASURES = ['WeightKg', 'HeightCm'] as const;
const DOUBTED = 0.4;

/** Which limits cannot be what the label says: out of the way's range, or at odds with each other. */
function limitsInDoubt(fields: Readonly<Record<string, LabelField>>): ReadonlySet<string> {
  const doubt = new Set<string>();
  const number = (path: string): number => Number(fields[path]?.value ?? Number.NaN);
  for (const mode of MODES)
    for (const [limit, [least, most]] of Object.entries(CAN_BE[mode]))
      if (number(`modes.${mode}.${limit}`) < least || number(`modes.${mode}.${limit}`) > most)
        doubt.add(`modes.${mode}.${limit}`);
  for (const measure of MEASURES) {
    const pairs: (readonly [string, string, boolean])[] = [];
    for (const mode of MODES) pairs.push([`modes.${mode}.min${measure}`, `modes.${mode}.max${measure}`, true]);
    // Who rides in the next way is not lighter or shorter.
    for (const [earlier, later] of [
      ['rear-facing', 'forward-facing'],
      ['forward-facing', 'booster'],
      ['rear-facing', 'booster'],
    ] as const)
      for (const end of ['min', 'max'])
        pairs.push([`modes.${earlier}.${end}${measure}`, `modes.${later}.${end}${measure}`, false]);
    for (const [lower, upper, strictly] of pairs)
      if (number(lower) > number(upper) || (strictly && number(lower) === number(upper))) doubt.add(lower).add(upper);
  }
  return doubt;
}

function datesInDoubt(fields: Readonly<Record<string, LabelField>>, today: string): ReadonlySet<string> {
  const doubt = new Set<string>();
  const made = fields.manufactureDate?.value as string | undefined;
  const expiry = fields.expiryDate?.value as string | undefined;
  if (made && (firstDay(made) > today || made < '1995')) doubt.add('manufactureDate');
  const latest = addMonths(made ? lastDay(made) : today, LONGEST_LIFE * 12);
  if (expiry && ((made && lastDay(expiry) <= firstDay(made)) || firstDay(expiry) > latest || expiry < '1995'))
    doubt.add('expiryDate');
  return doubt;
}

/** The same fields, less sure where they cannot be what a label says, or cannot be true together. */
export function plausible(fields: Readonly<Record<string, LabelField>>, today: string): Record<string, LabelField> {
  const doubt = new Set([...limitsInDoubt(fields), ...datesInDoubt(fields, today)]);
  return Object.fromEntries(
    Object.entries(fields).map(([path, field]) => [
      path,
      doubt.has(path) ? { ...field, confidence: field.confidence * DOUBTED } : field,
    ]),
  );
}
