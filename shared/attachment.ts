import type { Assessment } from './assessment.ts';
import type { ChildFacts } from './facts.ts';
import type { Interval } from './interval.ts';
import { maybeAbove, surelyAbove, toMeasure } from './interval.ts';
import { parameter } from './parameters/parameters.ts';

type UseResult = Assessment['uses'][number];
type Verdict = UseResult['lowerAnchors'];

export interface Anchors {
  readonly lowerAnchors: Verdict;
  readonly seatBelt: Verdict;
  readonly tether: UseResult['tether'];
  /** Highest child weight for the lower anchors, kg; null while unknown or where the mode has none. */
  readonly limit: Interval | null;
  /** The child is above the limit whatever is still unknown. */
  readonly overLimit: boolean;
}

const TOTAL = {
  'rear-facing': parameter('lower-anchor-total-rear-facing'),
  'forward-facing': parameter('lower-anchor-total-forward-facing'),
};
const ANY_MASS: Interval = { min: 0, max: Number.POSITIVE_INFINITY };

const minus = (total: Interval, mass: Interval): Interval => ({
  min: Math.max(0, total.min - mass.max),
  max: Math.max(0, total.max - mass.min),
});

const lower = (a: Interval, b: Interval): Interval => ({ min: Math.min(a.min, b.min), max: Math.min(a.max, b.max) });

/** All values the limit can have: open below while the restraint's mass is unknown. */
const limitRange = (facts: ChildFacts, mode: 'rear-facing' | 'forward-facing'): Interval => {
  const mass = facts.mass ?? ANY_MASS;
  const label = mode === 'rear-facing' ? facts.anchorLimitRearFacing : facts.anchorLimitForwardFacing;
  const seat = label ?? minus({ min: TOTAL[mode], max: TOTAL[mode] }, mass);
  return facts.vehicleAnchorLimit === null ? seat : lower(seat, minus(facts.vehicleAnchorLimit, mass));
};

const limitIsKnown = (facts: ChildFacts, mode: 'rear-facing' | 'forward-facing'): boolean => {
  const label = mode === 'rear-facing' ? facts.anchorLimitRearFacing : facts.anchorLimitForwardFacing;
  return facts.mass !== null || (label !== null && facts.vehicleAnchorLimit === null);
};

const beltVerdict = ({ mode, belt }: ChildFacts): Verdict => {
  if (mode === 'lap-held' || mode === 'none') return 'not-allowed';
  if (mode === null) return 'unknown';
  if (belt === 'lap-shoulder') return 'allowed';
  if (belt === 'lap-only') return mode === 'booster' || mode === 'seat-belt' ? 'not-allowed' : 'allowed';
  return 'unknown';
};

const tetherVerdict = ({ mode, tetherAnchor }: ChildFacts): UseResult['tether'] => {
  if (mode !== null && mode !== 'forward-facing') return 'not-used';
  if (tetherAnchor === false) return 'not-used';
  return mode === 'forward-facing' && tetherAnchor === true ? 'required' : 'unknown';
};

/** What a use may be attached with (rules.md, Attachment), for a child whose possible weights in kg are `weight`. */
export const judgeAnchors = (facts: ChildFacts, weight: Interval): Anchors => {
  const { mode } = facts;
  const seatBelt = beltVerdict(facts);
  const tether = tetherVerdict(facts);
  if (mode !== 'rear-facing' && mode !== 'forward-facing') {
    const lowerAnchors = mode === null || mode === 'booster' ? 'unknown' : 'not-allowed';
    return { lowerAnchors, seatBelt, tether, limit: null, overLimit: false };
  }
  const range = limitRange(facts, mode);
  const limit = limitIsKnown(facts, mode) ? range : null;
  const overLimit = surelyAbove(weight, range);
  const borrowed = facts.borrowedAllowed === true;
  const noAnchors = facts.lowerAnchors === false && !borrowed;
  const withinLimit = limit !== null && !maybeAbove(weight, limit);
  const reachable = facts.lowerAnchors === true || borrowed;
  const lowerAnchors =
    facts.kind === 'vest'
      ? 'unknown'
      : overLimit || noAnchors
        ? 'not-allowed'
        : withinLimit && reachable
          ? 'allowed'
          : 'unknown';
  return { lowerAnchors, seatBelt, tether, limit, overLimit };
};

/** The attachment of a use as it stands in an assessment. */
export const describeAnchors = (facts: ChildFacts, anchors: Anchors): UseResult => ({
  childId: facts.childId,
  seatId: facts.seatId,
  lowerAnchors: anchors.lowerAnchors,
  seatBelt: anchors.seatBelt,
  tether: anchors.tether,
  lowerAnchorLimitKg: anchors.limit && toMeasure(anchors.limit),
});
