import { cutsFor } from '#shared/cuts.ts';
import type { ChildFacts } from '#shared/facts.ts';
import { mayBeForecast } from '#shared/forecasts.ts';
import { HORIZON_MONTHS, spread } from '#shared/growth/forecast.ts';
import { plausibleRange } from '#shared/growth/plausible.ts';
import type { GrowthMeasure, Sex } from '#shared/growth/reference.ts';
import { ageRuns, LAST_MONTH, possibleSexes, referenceAt } from '#shared/growth/reference.ts';
import { lmsAt } from '#shared/growth/tables.ts';
import { plainZ } from '#shared/growth/z-score.ts';
import type { Interval } from '#shared/interval.ts';
import { exactly, isExact, UNBOUNDED } from '#shared/interval.ts';
import type { Body } from '#shared/judgement.ts';
import type { Size } from '#shared/possible-sizes.ts';
import { normalUpTo } from './normal.ts';

/**
 * How closely an unknown weight or height may go with the other measure: correlations of z that are tried, since no
 * source of ours gives one. What they make of an answer is a range.
 */
const TOGETHER = [0, 0.25, 0.5, 0.75, 0.95] as const;

/** z beyond which a child of the references is one in two million; where an unbounded stretch is cut into strips. */
const FURTHEST_Z = 5;
const STRIPS = 6;

/** A size that stands for all between the same limits, and how likely those are under each tried correlation. */
export interface SizeCell {
  readonly size: Size;
  readonly odds: readonly number[];
}

interface Stretch {
  readonly from: number;
  readonly to: number;
}

/** A part of a measure's distribution: its stretch between limits, the z that it stands for, how likely it is. */
interface Part {
  readonly cell: number;
  readonly z: number;
  readonly mass: number;
}

interface Measured {
  /** Representative value (kg or cm) of each stretch between limits. */
  readonly values: readonly number[];
  /** The measure by itself. */
  readonly parts: readonly Part[];
  /** Null where something is known of the measure; else how likely each stretch is around a z of the other measure. */
  readonly given: ((z: number, correlation: number) => readonly number[]) | null;
}

const between = (from: number, to: number): number => Math.max(0, normalUpTo(to) - normalUpTo(from));

/** The same for stretches that follow one another. */
function massesOf(stretches: readonly Stretch[], mean: number, sd: number): readonly number[] {
  let below = normalUpTo(((stretches[0]?.from ?? 0) - mean) / sd);
  return stretches.map(({ to }) => {
    const upTo = normalUpTo((to - mean) / sd);
    const mass = Math.max(0, upTo - below);
    below = upTo;
    return mass;
  });
}

/** A stretch of z in strips of equal width, each with its share of the distribution. */
function strips(stretch: Stretch, cell: number): Part[] {
  const from = Math.max(stretch.from, -FURTHEST_Z);
  const to = Math.min(stretch.to, FURTHEST_Z);
  const whole = between(stretch.from, stretch.to);
  if (whole === 0 || to <= from) return [];
  const width = (to - from) / STRIPS;
  const parts = Array.from({ length: STRIPS }, (_, i) => ({
    cell,
    z: from + (i + 0.5) * width,
    mass: between(from + i * width, from + (i + 1) * width),
  }));
  const held = parts.reduce((sum, { mass }) => sum + mass, 0);
  return held === 0
    ? [{ cell, z: (from + to) / 2, mass: whole }]
    : parts.map((p) => ({ ...p, mass: (p.mass / held) * whole }));
}

/** Weights as shares of their sum; all zero where there is nothing to share. */
function shareOf(masses: readonly number[]): readonly number[] {
  const whole = masses.reduce((sum, mass) => sum + mass, 0);
  return whole === 0 ? masses : masses.map((mass) => mass / whole);
}

function ofWhole(parts: readonly Part[]): readonly Part[] {
  const shares = shareOf(parts.map(({ mass }) => mass));
  return parts.flatMap((part, i) => (shares[i] ? [{ ...part, mass: shares[i] }] : []));
}

const middle = (from: number, to: number): number => (Number.isFinite(to) ? (from + to) / 2 : from + 1);

/** The stretches of a range of values between cuts. */
function stretchesOf({ min, max }: Interval, cuts: readonly number[]): readonly Stretch[] {
  const bounds = [min, ...cuts.filter((cut) => cut > min && cut < max), max];
  return bounds.slice(1).map((to, i) => ({ from: bounds[i] as number, to }));
}

interface Moment {
  readonly sex: Sex;
  /** Completed months at the day in question. */
  readonly ageMonths: number;
  /** Months since the measures were told. */
  readonly ahead: number;
}

/**
 * The distribution of a measure at a moment. Absent: all plausible children of that age and sex. Told just now: as told, a range
 * weighed by the reference. Told earlier: grown by the published spread around the regression to the median. Null past
 * the tables.
 */
function measured(
  measure: GrowthMeasure,
  told: Interval | null,
  cuts: readonly number[],
  moment: Moment,
): Measured | null {
  const { sex, ageMonths } = moment;
  const ahead = told === null ? 0 : Math.min(moment.ahead, ageMonths);
  const age = ageMonths - ahead;
  const reference = referenceAt(age);
  if (reference === null || ageMonths > LAST_MONTH[reference] || ahead > HORIZON_MONTHS) return null;
  const lms = lmsAt(reference, measure, sex, ageMonths);
  const zOf = (value: number) => (value <= 0 ? -Infinity : Number.isFinite(value) ? plainZ(lms, value) : Infinity);
  const inZ = (stretches: readonly Stretch[]) => stretches.map(({ from, to }) => ({ from: zOf(from), to: zOf(to) }));
  const values = (stretches: readonly Stretch[]) => stretches.map(({ from, to }) => middle(from, to));
  const everything = stretchesOf(UNBOUNDED, cuts);
  if (told === null) {
    const plausible = stretchesOf(plausibleRange(measure, exactly(ageMonths), sex), cuts);
    const zs = inZ(plausible);
    return {
      values: values(plausible),
      parts: ofWhole(zs.flatMap(strips)),
      given: (z, r) => shareOf(massesOf(zs, r * z, Math.sqrt(1 - r * r))),
    };
  }
  if (ahead === 0 && isExact(told))
    return { values: [told.min], parts: [{ cell: 0, z: zOf(told.min), mass: 1 }], given: null };
  const toldStretches = stretchesOf(told, ahead === 0 ? cuts : []);
  const then = lmsAt(reference, measure, sex, age);
  const toldZ = toldStretches.map(({ from, to }) => ({ from: plainZ(then, from), to: plainZ(then, to) }));
  const parts = isExact(told) ? [{ cell: 0, z: plainZ(then, told.min), mass: 1 }] : toldZ.flatMap(strips);
  const shares = ofWhole(parts);
  if (shares.length === 0) return null;
  if (ahead === 0) return { values: values(toldStretches), parts: shares, given: null };
  const s = spread(measure, age, ahead);
  const zs = inZ(everything);
  const grown = shares.flatMap(({ z, mass }) =>
    massesOf(zs, Math.sqrt(1 - s * s) * z, s).map((part, cell) => ({ cell, z, mass: mass * part })),
  );
  return { values: values(everything), parts: grown, given: null };
}

/** How likely each pair of stretches is, by their numbers w · across + h, for one correlation of z. */
function pairOdds(weight: Measured, height: Measured, correlation: number): readonly number[] {
  const across = height.values.length;
  const odds = new Array<number>(weight.values.length * across).fill(0);
  const add = (w: number, h: number, mass: number) => {
    const pair = w * across + h;
    odds[pair] = (odds[pair] as number) + mass;
  };
  // The measure of which something is known comes first, the other around it.
  if (height.given)
    for (const { cell, z, mass } of weight.parts)
      for (const [h, share] of height.given(z, correlation).entries()) add(cell, h, mass * share);
  else if (weight.given)
    for (const { cell, z, mass } of height.parts)
      for (const [w, share] of weight.given(z, correlation).entries()) add(w, cell, mass * share);
  else for (const w of weight.parts) for (const h of height.parts) add(w.cell, h.cell, w.mass * h.mass);
  return odds;
}

/**
 * How likely each size of a child is, by the growth references: ages said as a range weigh the same, girls and boys
 * alike where the sex is absent. `ahead`: whole months since the sizes were told; `facts` and `body` are of the later day.
 * Null where the references say nothing: no age or one past them, or a child they do not hold for.
 */
export function sizeOdds(facts: ChildFacts, body: Body, ahead: number): readonly SizeCell[] | null {
  if (facts.age === null || facts.age.max > LAST_MONTH['CDC 2000'] || mayBeForecast(facts) === 'false') return null;
  const cuts = cutsFor(facts, facts.age, UNBOUNDED, UNBOUNDED);
  const ages = ageRuns(facts.age).flatMap(({ first, last }) =>
    Array.from({ length: Math.floor(last - first) + 1 }, (_, i) => first + i),
  );
  const sexes = possibleSexes(facts.sex);
  const share = 1 / (ages.length * sexes.length);
  const cells: SizeCell[] = [];
  for (const ageMonths of ages)
    for (const sex of sexes) {
      const moment = { sex, ageMonths, ahead };
      const weight = measured('weight', body.statedWeight, cuts.weightKg, moment);
      const height = measured('height', body.statedHeight, cuts.heightCm, moment);
      if (weight === null || height === null) return null;
      const tried = weight.given || height.given ? TOGETHER : [0];
      const odds = tried.map((correlation) => pairOdds(weight, height, correlation));
      for (const [w, weightKg] of weight.values.entries())
        for (const [h, heightCm] of height.values.entries()) {
          const masses = odds.map((pairs) => (pairs[w * height.values.length + h] as number) * share);
          if (masses.some((mass) => mass > 0)) cells.push({ size: { ageMonths, weightKg, heightCm }, odds: masses });
        }
    }
  return cells;
}
