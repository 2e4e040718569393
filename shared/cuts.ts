import { ADVICE_PARAMETERS } from './advice.ts';
import { RESTRAINT_MODES } from './case.ts';
import type { ChildFacts, Limit } from './facts.ts';
import { HIGHEST, limitsOf, USUAL_MIN_WEIGHT } from './mode-fit.ts';
import type { ParameterId } from './parameters/parameters.ts';
import { PARAMETERS, parameter } from './parameters/parameters.ts';
import type { Cuts } from './possible-sizes.ts';
import { TOLERANCE } from './units.ts';

type MutableCuts = { [K in keyof Cuts]: Set<number> };

const MEASURE_OF_UNIT = { lb: 'weightKg', in: 'heightCm', months: 'ageMonths' } as const;

const cutsAround = (id: ParameterId): { measure: keyof Cuts; at: number }[] => {
  const measure = MEASURE_OF_UNIT[PARAMETERS[id].unit as keyof typeof MEASURE_OF_UNIT];
  const at = parameter(id);
  const below = { measure, at: at - TOLERANCE };
  return measure === 'ageMonths' ? [below] : [below, { measure, at: at + TOLERANCE }];
};

/** Cuts on both sides of every size that the advice and the booster and belt rules compare with, whatever the seat. */
const PARAMETER_CUTS = ADVICE_PARAMETERS.flatMap(cutsAround);

const addLimit = (cuts: Set<number>, limit: Limit, offset: number): void => {
  if (limit == null) return;
  cuts.add(limit.min + offset);
  cuts.add(limit.max + offset);
};

const sorted = (set: Set<number>): number[] => [...set].sort((a, b) => a - b);

/** Where the fit of a mode, the advice or a finding can turn for the child of these facts. */
export const cutsFor = (facts: ChildFacts): Cuts => {
  const cuts: MutableCuts = { ageMonths: new Set(), weightKg: new Set(), heightCm: new Set() };
  for (const { measure, at } of PARAMETER_CUTS) cuts[measure].add(at);
  for (const mode of RESTRAINT_MODES) {
    const limits = limitsOf(facts, mode);
    const highest = HIGHEST[mode];
    cuts.weightKg.add(highest.weightKg + TOLERANCE);
    cuts.heightCm.add(highest.heightCm + TOLERANCE);
    cuts.weightKg.add(USUAL_MIN_WEIGHT[mode] - TOLERANCE);
    addLimit(cuts.weightKg, limits.maxWeightKg, TOLERANCE);
    addLimit(cuts.weightKg, limits.minWeightKg, -TOLERANCE);
    addLimit(cuts.heightCm, limits.maxHeightCm, TOLERANCE);
    addLimit(cuts.heightCm, limits.minHeightCm, -TOLERANCE);
    addLimit(cuts.ageMonths, limits.minAgeMonths, -TOLERANCE);
  }
  return { ageMonths: sorted(cuts.ageMonths), weightKg: sorted(cuts.weightKg), heightCm: sorted(cuts.heightCm) };
};
