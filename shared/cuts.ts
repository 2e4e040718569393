import { RESTRAINT_MODES } from './case.ts';
import type { ChildFacts, Limit } from './facts.ts';
import type { Interval } from './interval.ts';
import { isExact } from './interval.ts';
import { limitsOf } from './mode-fit.ts';
import type { ParameterId } from './parameters/parameters.ts';
import { parameter } from './parameters/parameters.ts';
import type { Cuts } from './possible-sizes.ts';
import { TOLERANCE } from './units.ts';

const from = (ids: readonly ParameterId[]): number[] => ids.map((id) => parameter(id) - TOLERANCE);
const above = (ids: readonly ParameterId[]): number[] => ids.map((id) => parameter(id) + TOLERANCE);

/** Cuts whatever the seat: where "below" a minimum or an age ends, and where "above" a maximum begins. */
const ALWAYS: Cuts = {
  ageMonths: from([
    'turned-too-soon-under-age',
    'typical-rear-facing-under-age',
    'booster-min-age',
    'harness-advised-under-age',
    'belt-min-age',
    'belt-any-height-age',
  ]),
  weightKg: [
    ...from(['rear-facing-min-weight', 'forward-facing-min-weight', 'booster-min-weight']),
    ...above([
      'typical-rear-facing-max-weight',
      'typical-harness-max-weight',
      'highest-rear-facing-weight',
      'highest-harness-weight',
    ]),
  ],
  heightCm: [
    ...from(['belt-min-height']),
    ...above([
      'typical-rear-facing-max-height',
      'typical-harness-max-height',
      'highest-rear-facing-height',
      'highest-harness-height',
    ]),
  ],
};

/** The cuts inside a range, sorted, each once: those whatever the seat, and those that the labels of the modes add. */
const inside = (
  { min, max }: Interval,
  always: readonly number[],
  maxima: readonly Limit[],
  minima: readonly Limit[],
) => {
  const found = always.filter((cut) => cut > min && cut < max);
  const add = (cut: number) => {
    if (cut > min && cut < max) found.push(cut);
  };
  const addBoth = (limit: Limit, offset: number) => {
    if (limit == null) return;
    add(limit.min + offset);
    if (!isExact(limit)) add(limit.max + offset);
  };
  for (const limit of maxima) addBoth(limit, TOLERANCE);
  for (const limit of minima) addBoth(limit, -TOLERANCE);
  found.sort((a, b) => a - b);
  return found.filter((cut, i) => cut !== found[i - 1]);
};

/** Where the fit of a mode, the advice or a finding can turn for a child of these facts and of sizes within these ranges. */
export const cutsFor = (facts: ChildFacts, age: Interval, weight: Interval, height: Interval): Cuts => {
  const labels = RESTRAINT_MODES.map((mode) => limitsOf(facts, mode));
  return {
    ageMonths: isExact(age)
      ? []
      : inside(
          age,
          ALWAYS.ageMonths,
          [],
          labels.map((label) => label.minAgeMonths),
        ),
    weightKg: isExact(weight)
      ? []
      : inside(
          weight,
          ALWAYS.weightKg,
          labels.map((label) => label.maxWeightKg),
          labels.map((label) => label.minWeightKg),
        ),
    heightCm: isExact(height)
      ? []
      : inside(
          height,
          ALWAYS.heightCm,
          labels.map((label) => label.maxHeightCm),
          labels.map((label) => label.minHeightCm),
        ),
  };
};
