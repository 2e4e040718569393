import { plausibleRange } from './growth/plausible.ts';
import type { Sex } from './growth/reference.ts';
import { LAST_MONTH, possibleSexes } from './growth/reference.ts';
import type { Interval } from './interval.ts';
import { exactly, isExact } from './interval.ts';

/** One completion of a child's age, weight and height. */
export interface Size {
  readonly ageMonths: number;
  readonly weightKg: number;
  readonly heightCm: number;
}

/**
 * Where the truth of some comparison turns, sorted: at t + tolerance for "above t", at t − tolerance for "below t".
 * Between two neighbouring cuts every rule gives the same answer.
 */
export interface Cuts {
  readonly ageMonths: readonly number[];
  readonly weightKg: readonly number[];
  readonly heightCm: readonly number[];
}

export interface Body {
  readonly age: Interval | null;
  /** Null where absent: then all that is plausible for the age and sex. */
  readonly weight: Interval | null;
  readonly height: Interval | null;
  readonly sex: Sex | null;
}

/** Ages a case can state (the schema refuses more). */
export const ANY_AGE: Interval = { min: 0, max: 1200 };
const LAST_PLAUSIBLE_MONTH = LAST_MONTH['CDC 2000'];

/** The cut positions inside a range, with its ends: each neighbouring pair bounds values that nothing tells apart. */
const edges = ({ min, max }: Interval, cuts: readonly number[]): number[] => {
  const inside = cuts.filter((cut) => cut > min && cut < max);
  const top = Number.isFinite(max) ? max : (inside.at(-1) ?? min) + 1;
  return [min, ...inside, top];
};

const middles = (bounds: readonly number[]): number[] =>
  bounds.slice(1).map((bound, i) => (bound + (bounds[i] as number)) / 2);

/** One value from each stretch of a range that no cut divides. */
export const representatives = (range: Interval, cuts: readonly number[]): readonly number[] =>
  isExact(range) ? [range.min] : middles(edges(range, cuts));

/** Completed months are whole; an end that is no whole month counts as it is. One age for each stretch between cuts. */
export const representativeAges = ({ min, max }: Interval, cuts: readonly number[]): readonly number[] => {
  const ages = [min];
  for (const cut of cuts) {
    const age = Math.min(Math.ceil(cut), max);
    if (cut > min && cut <= max && age !== ages.at(-1)) ages.push(age);
  }
  return ages;
};

/** Every age with a plausible range of its own, and one past the references for each stretch between cuts. */
export const everyAge = (age: Interval, cuts: readonly number[]): readonly number[] => {
  const ages = [age.min];
  for (let month = Math.floor(age.min) + 1; month <= Math.min(age.max, LAST_PLAUSIBLE_MONTH); month++) ages.push(month);
  const past = { min: Math.max(age.min, LAST_PLAUSIBLE_MONTH + 1), max: age.max };
  if (past.min <= past.max) ages.push(...representativeAges(past, cuts));
  else if (ages.at(-1) !== age.max) ages.push(age.max);
  return ages;
};

interface Box {
  readonly weight: Interval;
  readonly height: Interval;
}

const hull = (boxes: readonly Box[], measure: keyof Box): Interval => {
  let min = Number.POSITIVE_INFINITY;
  let max = 0;
  for (const box of boxes) {
    min = Math.min(min, box[measure].min);
    max = Math.max(max, box[measure].max);
  }
  return { min, max };
};

/** Which stretches between bounds a range reaches into: the first, and one past the last. */
const span = ({ min, max }: Interval, bounds: readonly number[]): [number, number] => {
  let first = 0;
  while (first < bounds.length - 2 && (bounds[first + 1] as number) <= min) first++;
  let end = first + 1;
  while (end < bounds.length - 1 && (bounds[end] as number) < max) end++;
  return [first, end];
};

/** Weights and heights that occur together at one stretch of ages: a box for each age and sex, laid over one another. */
const sizesIn = (ageMonths: number, boxes: readonly Box[], cuts: Cuts): readonly Size[] => {
  const weights = hull(boxes, 'weight');
  const heights = hull(boxes, 'height');
  const weightBounds = isExact(weights) ? [weights.min, weights.min] : edges(weights, cuts.weightKg);
  const heightBounds = isExact(heights) ? [heights.min, heights.min] : edges(heights, cuts.heightCm);
  const across = heightBounds.length - 1;
  const reached = new Set<number>();
  for (const box of boxes) {
    const [w0, w1] = span(box.weight, weightBounds);
    const [h0, h1] = span(box.height, heightBounds);
    for (let w = w0; w < w1; w++) for (let h = h0; h < h1; h++) reached.add(w * across + h);
  }
  const weightOf = middles(weightBounds);
  const heightOf = middles(heightBounds);
  return [...reached].map((cell) => ({
    ageMonths,
    weightKg: weightOf[Math.floor(cell / across)] as number,
    heightCm: heightOf[cell % across] as number,
  }));
};

/**
 * Sizes that stand for all a child may have: any two completions that a comparison tells apart are represented apart,
 * and none is listed that cannot occur. An absent weight or height goes with age and sex, as the growth references have it.
 */
export const possibleSizes = (body: Body, cuts: Cuts): readonly Size[] => {
  const age = body.age ?? ANY_AGE;
  const goesWithAge = body.age !== null && (body.weight === null || body.height === null);
  if (!goesWithAge) {
    const box = {
      weight: body.weight ?? plausibleRange('weight', null, null),
      height: body.height ?? plausibleRange('height', null, null),
    };
    return representativeAges(age, cuts.ageMonths).flatMap((months) => sizesIn(months, [box], cuts));
  }
  const stretches = new Map<number, { months: number; boxes: Box[] }>();
  for (const months of everyAge(age, cuts.ageMonths)) {
    const stretch = cuts.ageMonths.filter((cut) => cut <= months).length;
    const found = stretches.get(stretch) ?? { months, boxes: [] };
    stretches.set(stretch, found);
    for (const sex of possibleSexes(body.sex))
      found.boxes.push({
        weight: body.weight ?? plausibleRange('weight', exactly(months), sex),
        height: body.height ?? plausibleRange('height', exactly(months), sex),
      });
  }
  return [...stretches.values()].flatMap(({ months, boxes }) => sizesIn(months, boxes, cuts));
};
