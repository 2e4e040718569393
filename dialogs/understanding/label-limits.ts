import { lbToKg } from '#shared/units.ts';
import type { LabelLimits } from '../ears.ts';
import { findQuantities, type Quantity } from './quantities.ts';
import type { UnitSystem } from './types.ts';
import { hitAt, hitsOf, type Message } from './words.ts';

const LONGEST_TO = 3;

/** Whether nothing but a dash or a word such as "to", "a", "à" or "do" stands between two figures. */
function isSpan(message: Message, from: number, to: number): boolean {
  const [only] = message.tokens.slice(from, to);
  if (to - from === 1 && only?.kind === 'word' && only.text.length <= LONGEST_TO) return true;
  for (let at = from; at < to; ) {
    const word = hitAt(message, 'relation', at, 'to') ?? hitAt(message, 'relation', at, 'and');
    const dash = message.tokens[at]?.kind === 'mark' && '-~'.includes(message.tokens[at]?.text ?? '');
    if (!word && !dash) return false;
    at = word ? word.end : at + 1;
  }
  return from < to;
}

/** A label gives no ages between its figures: in "2 a 18 kilos" the short word is "to", not a year. */
function asBare(message: Message, quantity: Quantity, next: Quantity | undefined): Quantity {
  const last = message.tokens[quantity.end - 1];
  const between = quantity.dimension === 'age' && quantity.end - quantity.start === 2 && next?.start === quantity.end;
  return between && last?.kind === 'word' && last.text.length <= LONGEST_TO
    ? { ...quantity, end: quantity.end - 1, unit: null, dimension: null, value: null }
    : quantity;
}

/** Joins "5-40 lb" and "5 lb to 40 lb". A label's range is far wider than any child's, so it has its own joining. */
function joinSpans(message: Message, quantities: readonly Quantity[]): Quantity[] {
  const joined: Quantity[] = [];
  for (const next of quantities) {
    const before = joined.at(-1);
    const alike = before && !before.range && (before.unit === null || before.unit === next.unit);
    if (before && alike && before.said[0] < next.said[1] && isSpan(message, before.end, next.start)) {
      const factor = next.value ? next.value[1] / next.said[1] : null;
      const said = [before.said[0], next.said[1]] as const;
      const value = factor === null ? null : ([said[0] * factor, said[1] * factor] as const);
      joined.splice(-1, 1, { ...next, start: before.start, said, value, range: true });
    } else joined.push(next);
  }
  return joined;
}

/** Figures without a unit that can be a seat's weight limit: pounds on a US label, kilograms elsewhere (common practice). */
const BARE_MAX: Readonly<Record<UnitSystem, number>> = { us: 120, metric: 50 };
/** No restraint's weight limit is lower (common practice): "9 months, not 8" is about something else. */
const LOWEST_MOST: Readonly<Record<UnitSystem, number>> = { us: 18, metric: 8 };
const BARE_MIN: Readonly<Record<UnitSystem, number>> = { us: 3, metric: 2 };

const METRIC_UNITS = new Set<Quantity['unit']>(['kg', 'g', 'cm', 'm', 'mm', 'dm']);

/** Of a pair printed in both systems the label's own counts: pounds and inches in the US, else the metric one. */
function inOwnSystem(quantities: readonly Quantity[], units: UnitSystem): readonly Quantity[] {
  const own = quantities.filter(({ unit }) => METRIC_UNITS.has(unit) === (units === 'metric'));
  return own.length > 0 ? own : quantities;
}

/** "from 5 lb", "at least 40 lb": a lower end; a single figure is otherwise the upper one. */
function isLowerEnd(message: Message, { start, end }: Quantity): boolean {
  const said = hitsOf(message, 'relation', 'more-than', 'between').some(
    (hit) => hit.end === start || hit.start === end,
  );
  return said && !hitsOf(message, 'relation', 'less-than', 'to').some((hit) => hit.end === start);
}

function ends(message: Message, quantities: readonly Quantity[]): { min?: number; max?: number } {
  const found: { min?: number; max?: number } = {};
  for (const quantity of quantities) {
    const [low, high] = quantity.value ?? quantity.said;
    if (quantity.range) Object.assign(found, { min: low, max: high });
    else if (isLowerEnd(message, quantity)) found.min = low;
    else if (found.max === undefined || found.max < high) {
      // "5 lb ... 40 lb" as two figures: the smaller one is the lower end.
      if (found.max !== undefined) found.min ??= found.max;
      found.max = high;
    } else found.min ??= low;
  }
  return found;
}

function bareWeights(quantities: readonly Quantity[], units: UnitSystem): readonly Quantity[] {
  const inKg = (n: number): number => (units === 'us' ? lbToKg(n) : n);
  const bare = quantities.filter(
    ({ dimension, said }) => dimension === null && said[0] >= BARE_MIN[units] && said[1] <= BARE_MAX[units],
  );
  if (!bare.some(({ said }) => said[1] >= LOWEST_MOST[units])) return [];
  return bare.map((quantity) => ({ ...quantity, value: [inKg(quantity.said[0]), inKg(quantity.said[1])] as const }));
}

/** The limits a seat's label prints for one way of using it, in kg and cm, exactly converted; null where none is said. */
export function readLimits(message: Message, units: UnitSystem): LabelLimits | null {
  const found = findQuantities(message, new Set(), 'weight');
  const all = joinSpans(
    message,
    found.map((quantity, i) => asBare(message, quantity, found[i + 1])),
  );
  const heights = inOwnSystem(
    all.filter(({ dimension }) => dimension === 'height'),
    units,
  );
  const said = inOwnSystem(
    all.filter(({ dimension }) => dimension === 'weight'),
    units,
  );
  const weights = said.length > 0 ? said : bareWeights(all, units);
  const weight = ends(message, weights);
  const height = ends(message, heights);
  // "at least 4 years old"; years without such a word are as likely the seat's useful life.
  const oldEnough = all.find(
    (quantity) => quantity.dimension === 'age' && quantity.value && isLowerEnd(message, quantity),
  );
  const limits: LabelLimits = {
    ...(oldEnough?.value && { minAgeMonths: oldEnough.value[0] }),
    ...(weight.min !== undefined && { minWeightKg: weight.min }),
    ...(weight.max !== undefined && { maxWeightKg: weight.max }),
    ...(height.min !== undefined && { minHeightCm: height.min }),
    ...(height.max !== undefined && { maxHeightCm: height.max }),
  };
  return Object.keys(limits).length > 0 ? limits : null;
}
