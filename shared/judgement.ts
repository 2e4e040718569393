import type { AdviceSet, FitBits } from './advice.ts';
import { adviceAt } from './advice.ts';
import type { Anchors } from './attachment.ts';
import { judgeAnchors } from './attachment.ts';
import type { AdvisedMode } from './case.ts';
import { cutsFor } from './cuts.ts';
import { STEP } from './fact-keys.ts';
import type { ChildFacts } from './facts.ts';
import { plausibility, plausibleRange } from './growth/plausible.ts';
import type { GrowthMeasure } from './growth/reference.ts';
import type { Interval } from './interval.ts';
import { isExact } from './interval.ts';
import { lawDemands, lawFactsShown } from './law-duty.ts';
import type { LawJudgement } from './laws/judge.ts';
import { judgeLaw } from './laws/judge.ts';
import { FIT, fitAt } from './mode-fit.ts';
import type { Size } from './possible-sizes.ts';
import { ANY_AGE, possibleSizes } from './possible-sizes.ts';

/** A child's age, weight and height as every rule reads them. */
export interface Body {
  /** Completed months; all ages while unknown. */
  readonly age: Interval;
  /** As stated where it counts; null where absent or implausible and not confirmed. */
  readonly statedWeight: Interval | null;
  readonly statedHeight: Interval | null;
  /** All possible weights, kg, and heights, cm. */
  readonly weight: Interval;
  readonly height: Interval;
  readonly weightImplausible: boolean;
  readonly heightImplausible: boolean;
  readonly sizes: readonly Size[];
  /** One size only, whatever the limits are. */
  readonly exact: boolean;
}

/** What follows from the facts about one child; rules read it beside the facts. */
export interface Judgement {
  readonly body: Body;
  /** The fit of each mode at each of `body.sizes`, and over all of them. */
  readonly fits: readonly FitBits[];
  readonly fit: FitBits;
  readonly law: LawJudgement;
  readonly demanded: ReadonlySet<AdvisedMode>;
  readonly advices: readonly AdviceSet[];
  readonly advice: AdviceSet;
  readonly anchors: Anchors;
}

const isImplausible = (facts: ChildFacts, measure: GrowthMeasure): boolean => {
  const value = facts[measure];
  return value !== null && plausibility(measure, value, facts.age, facts.sex) === 'false';
};

const judgeBody = (facts: ChildFacts): Body => {
  const weightImplausible = isImplausible(facts, 'weight');
  const heightImplausible = isImplausible(facts, 'height');
  const confirmed = facts.sizeConfirmed === true;
  const statedWeight = weightImplausible && !confirmed ? null : facts.weight;
  const statedHeight = heightImplausible && !confirmed ? null : facts.height;
  const weight = statedWeight ?? plausibleRange('weight', facts.age, facts.sex);
  const height = statedHeight ?? plausibleRange('height', facts.age, facts.sex);
  const age = facts.age ?? ANY_AGE;
  const exact = isExact(age) && isExact(weight) && isExact(height);
  const sizes = exact
    ? [{ ageMonths: age.min, weightKg: weight.min, heightCm: height.min }]
    : possibleSizes(
        { age: facts.age, weight: statedWeight, height: statedHeight, sex: facts.sex },
        cutsFor(facts, age, weight, height),
      );
  return { age, statedWeight, statedHeight, weight, height, weightImplausible, heightImplausible, sizes, exact };
};

const fitOf = (facts: ChildFacts, size: Size): FitBits => ({
  'rear-facing': fitAt(facts, 'rear-facing', size),
  'forward-facing': fitAt(facts, 'forward-facing', size),
  booster: fitAt(facts, 'booster', size),
});

const allFits = (fits: readonly FitBits[]): FitBits => {
  if (fits.length === 1) return fits[0] as FitBits;
  const all = { 'rear-facing': 0, 'forward-facing': 0, booster: 0 };
  for (const fit of fits) {
    all['rear-facing'] |= fit['rear-facing'];
    all['forward-facing'] |= fit['forward-facing'];
    all.booster |= fit.booster;
  }
  return all;
};

const allAdvice = (advices: readonly AdviceSet[]): AdviceSet => {
  if (advices.length === 1) return advices[0] as AdviceSet;
  const all = { modes: 0, kept: 0 };
  for (const { modes, kept } of advices) {
    all.modes |= modes;
    all.kept |= kept;
  }
  return all;
};

const OUTGROWN_KNOWN = FIT.outgrown | FIT.notOffered | FIT.unknown;
const outgrownKey = (fit: FitBits): string =>
  `${fit['rear-facing'] & OUTGROWN_KNOWN}.${fit['forward-facing'] & OUTGROWN_KNOWN}.${fit.booster & OUTGROWN_KNOWN}`;

const judgeLawOf = (facts: ChildFacts, body: Body, fit: FitBits): LawJudgement =>
  judgeLaw({
    jurisdiction: facts.jurisdiction,
    asOf: facts.asOf,
    age: facts.age,
    weightKg: body.statedWeight,
    heightCm: body.statedHeight,
    sex: facts.sex,
    modeInUse: facts.mode,
    row: facts.row,
    facts: lawFactsShown(facts, fit),
  });

const sameFit = (a: FitBits, b: FitBits): boolean =>
  a['rear-facing'] === b['rear-facing'] && a['forward-facing'] === b['forward-facing'] && a.booster === b.booster;

const sameModes = (a: ReadonlySet<AdvisedMode>, b: ReadonlySet<AdvisedMode>): boolean =>
  a === b || (a.size === b.size && [...a].every((mode) => b.has(mode)));

/**
 * Judges one child. With a `base`, only the steps that `changed` feeds (STEP bits) are judged anew and the rest is taken
 * over: the caller vouches that nothing else has changed. The base itself comes back where a new fit is the old one.
 */
export const judge = (facts: ChildFacts, base: Judgement | null = null, changed = 0): Judgement => {
  // Where limits divide ranges of sizes, a new limit divides them anew.
  const newBody = base === null || (changed & STEP.size) !== 0 || ((changed & STEP.fit) !== 0 && !base.body.exact);
  const body = newBody ? judgeBody(facts) : base.body;
  const newFit = newBody || (changed & STEP.fit) !== 0;
  const fits = newFit ? body.sizes.map((size) => fitOf(facts, size)) : base.fits;
  const fit = newFit ? allFits(fits) : base.fit;
  if (base !== null && changed === STEP.fit && !newBody && sameFit(fit, base.fit) && fits.length === 1) return base;
  const newLaw =
    base === null || (changed & (STEP.size | STEP.law)) !== 0 || (newFit && outgrownKey(fit) !== outgrownKey(base.fit));
  const law = newLaw ? judgeLawOf(facts, body, fit) : base.law;
  const demanded = newLaw ? lawDemands(law) : base.demanded;
  const newDemand = base === null || !sameModes(demanded, base.demanded);
  const newAdvice = newFit || newDemand || (changed & STEP.advice) !== 0;
  const advices = newAdvice
    ? body.sizes.map((size, i) => adviceAt(facts, size, fits[i] as FitBits, demanded))
    : base.advices;
  const advice = newAdvice ? allAdvice(advices) : base.advice;
  const anchors = newBody || (changed & STEP.anchors) !== 0 ? judgeAnchors(facts, body.weight) : base.anchors;
  return { body, fits, fit, law, demanded, advices, advice, anchors };
};
