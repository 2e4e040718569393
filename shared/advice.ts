import type { AdvisedMode, RestraintMode } from './case.ts';
import { ADVISED_MODES } from './case.ts';
import type { ChildFacts } from './facts.ts';
import { isAbove, isBelow } from './interval.ts';
import { FIT } from './mode-fit.ts';
import type { ParameterId } from './parameters/parameters.ts';
import { parameter } from './parameters/parameters.ts';
import type { SourceId } from './parameters/sources.ts';
import type { Size } from './possible-sizes.ts';

export const ADVICE_SOURCES: readonly SourceId[] = ['S-151', 'S-153', 'S-154', 'S-155', 'S-158'];
export const ADVICE_PARAMETERS: readonly ParameterId[] = [
  'belt-any-height-age',
  'belt-min-age',
  'belt-min-height',
  'turned-too-soon-under-age',
  'typical-rear-facing-under-age',
  'typical-rear-facing-max-weight',
  'typical-rear-facing-max-height',
  'booster-min-weight',
  'booster-min-age',
  'harness-advised-under-age',
  'typical-harness-max-weight',
  'typical-harness-max-height',
];

const BELT_ANY_HEIGHT_AGE = parameter('belt-any-height-age');
const BELT_MIN_AGE = parameter('belt-min-age');
const BELT_MIN_HEIGHT = parameter('belt-min-height');
const REAR_FACING_UNDER_AGE = parameter('turned-too-soon-under-age');
const OTHER_REAR_FACING_UNDER_AGE = parameter('typical-rear-facing-under-age');
const HARNESS_UNDER_AGE = parameter('harness-advised-under-age');
const BOOSTER_MIN_WEIGHT = parameter('booster-min-weight');
const BOOSTER_MIN_AGE = parameter('booster-min-age');
const TYPICAL = {
  'rear-facing': {
    weightKg: parameter('typical-rear-facing-max-weight'),
    heightCm: parameter('typical-rear-facing-max-height'),
  },
  'forward-facing': {
    weightKg: parameter('typical-harness-max-weight'),
    heightCm: parameter('typical-harness-max-height'),
  },
};

/** The seat's harness mode for one completion: it fits, is too large for the child or missing, or is outgrown. */
type Harness = 'fits' | 'lacking' | 'outgrown';

export const withinTypical = (mode: 'rear-facing' | 'forward-facing', { weightKg, heightCm }: Size): boolean =>
  !isAbove(weightKg, TYPICAL[mode].weightKg) && !isAbove(heightCm, TYPICAL[mode].heightCm);

/** Two or three years old and small enough for a seat like most: such a seat is advised even where this one has no harness. */
export const mayRideRearFacingElsewhere = (size: Size): boolean =>
  !isBelow(size.ageMonths, REAR_FACING_UNDER_AGE) &&
  isBelow(size.ageMonths, OTHER_REAR_FACING_UNDER_AGE) &&
  withinTypical('rear-facing', size);

export const boosterMinimaMissed = (facts: ChildFacts, { ageMonths, weightKg }: Size): boolean =>
  isBelow(weightKg, BOOSTER_MIN_WEIGHT) || isBelow(ageMonths, BOOSTER_MIN_AGE) || facts.ridesUpright === false;

const readyForBelt = ({ ageMonths, heightCm }: Size): boolean =>
  !isBelow(ageMonths, BELT_ANY_HEIGHT_AGE) ||
  (!isBelow(heightCm, BELT_MIN_HEIGHT) && !isBelow(ageMonths, BELT_MIN_AGE));

const knownPoorOnBelt = ({ mode, lapBelt, shoulderBelt }: ChildFacts): boolean =>
  mode === 'seat-belt' && (lapBelt === 'belly' || shoulderBelt === 'neck' || shoulderBelt === 'off-shoulder');

/** Rules 1 to 8 of rules.md, Which mode is advised, for one completion. */
const byProtection = (facts: ChildFacts, size: Size, rearFacingFits: boolean, harness: Harness): AdvisedMode => {
  if (readyForBelt(size)) return knownPoorOnBelt(facts) ? 'booster' : 'seat-belt';
  if (rearFacingFits) return 'rear-facing';
  if (isBelow(size.ageMonths, REAR_FACING_UNDER_AGE)) return 'rear-facing';
  if (harness === 'fits') return 'forward-facing';
  if (harness === 'lacking' && mayRideRearFacingElsewhere(size)) return 'rear-facing';
  if (boosterMinimaMissed(facts, size)) return 'forward-facing';
  if (isBelow(size.ageMonths, HARNESS_UNDER_AGE) && withinTypical('forward-facing', size)) return 'forward-facing';
  return 'booster';
};

/** Position of each mode, the most protective first. */
const RANK: Readonly<Record<AdvisedMode, number>> = {
  'rear-facing': 0,
  'forward-facing': 1,
  booster: 2,
  'seat-belt': 3,
};

/** Rule 9: what the law demands for certain, where it is more protective and the child within that mode's typical limits. */
const raisedByLaw = (advised: AdvisedMode, demanded: ReadonlySet<AdvisedMode>, size: Size): AdvisedMode => {
  for (const mode of ADVISED_MODES) {
    if (RANK[mode] >= RANK[advised]) break;
    if (!demanded.has(mode)) continue;
    if (mode === 'rear-facing' || mode === 'forward-facing' ? withinTypical(mode, size) : true) return mode;
  }
  return advised;
};

/** A set of modes as bits: 1 << rank. */
export interface AdviceSet {
  /** Modes advised in some completion. */
  modes: number;
  /** Those that in some completion need no other seat than the one in hand. */
  kept: number;
}

export const hasMode = (set: number, mode: AdvisedMode): boolean => (set & (1 << RANK[mode])) !== 0;

export const modesIn = (set: number): AdvisedMode[] => ADVISED_MODES.filter((mode) => hasMode(set, mode));

export type FitBits = Readonly<Record<RestraintMode, number>>;

const CAN_FIT = FIT.fits | FIT.unknown;
const CAN_LACK = FIT.notOffered | FIT.tooSmall;
const CAN_BE_OUTGROWN = FIT.outgrown | FIT.unknown;

/** All advice the ways in which the seat can fit leave possible for a child of this exact size. */
export const adviceAt = (
  facts: ChildFacts,
  size: Size,
  fit: FitBits,
  demanded: ReadonlySet<AdvisedMode>,
): AdviceSet => {
  const set: AdviceSet = { modes: 0, kept: 0 };
  const rear = fit['rear-facing'];
  const front = fit['forward-facing'];
  const add = (rearFacingFits: boolean, harness: Harness) => {
    const mode = raisedByLaw(byProtection(facts, size, rearFacingFits, harness), demanded, size);
    const kept =
      (mode === 'rear-facing' && rearFacingFits) ||
      (mode === 'forward-facing' && harness === 'fits') ||
      (mode === 'booster' && (fit.booster & CAN_FIT) !== 0) ||
      mode === 'seat-belt';
    set.modes |= 1 << RANK[mode];
    if (kept) set.kept |= 1 << RANK[mode];
  };
  const withHarness = (rearFacingFits: boolean) => {
    if (front & CAN_FIT) add(rearFacingFits, 'fits');
    if (front & CAN_LACK) add(rearFacingFits, 'lacking');
    if (front & CAN_BE_OUTGROWN) add(rearFacingFits, 'outgrown');
  };
  if (rear & CAN_FIT) withHarness(true);
  if (rear & ~FIT.fits) withHarness(false);
  return set;
};
