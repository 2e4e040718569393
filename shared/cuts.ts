import { ADVICE_PARAMETERS } from './advice.ts';
import { RESTRAINT_MODES } from './case.ts';
import type { ChildFacts, Limit } from './facts.ts';
import type { Interval } from './interval.ts';
import { isExact } from './interval.ts';
import { HIGHEST, limitsOf, USUAL_MIN_WEIGHT } from './mode-fit.ts';
import type { ParameterId } from './parameters/parameters.ts';
import { PARAMETERS, parameter } from './parameters/parameters.ts';
import type { Cuts } from './possible-sizes.ts';
import { TOLERANCE } from './units.ts';

const MEASURE_OF_UNIT = { lb: 'weightKg', in: 'heightCm', months: 'ageMonths' } as const;

const cutsAround = (id: ParameterId): { measure: keyof Cuts; at: number }[] => {
  const measure = MEASURE_OF_UNIT[PARAMETERS[id].unit as keyof typeof MEASURE_OF_UNIT];
  const at = parameter(id);
  const below = { measure, at: at - TOLERANCE };
  return measure === 'ageMonths' ? [below] : [below, { measure, at: at + TOLERANCE }];
};

const PARAMETER_CUTS = ADVICE_PARAMETERS.flatMap(cutsAround);
const ofParameters = (measure: keyof Cuts): number[] =>
  PARAMETER_CUTS.filter((cut) => cut.measure === measure).map(({ at }) => at);

/** Cuts whatever the seat: on both sides of every size that advice and rules compare with. */
const ALWAYS: Cuts = {
  ageMonths: ofParameters('ageMonths'),
  weightKg: [
    ...ofParameters('weightKg'),
    ...RESTRAINT_MODES.flatMap((mode) => [HIGHEST[mode].weightKg + TOLERANCE, USUAL_MIN_WEIGHT[mode] - TOLERANCE]),
  ],
  heightCm: [...ofParameters('heightCm'), ...RESTRAINT_MODES.map((mode) => HIGHEST[mode].heightCm + TOLERANCE)],
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
