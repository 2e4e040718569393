import { cutsFor } from './cuts.ts';
import type { FactKey, LimitName } from './fact-keys.ts';
import { FACT_SPECS, limitParts, readFact } from './fact-keys.ts';
import type { ChildFacts, Limit } from './facts.ts';
import { plausibleRange } from './growth/plausible.ts';
import type { Interval } from './interval.ts';
import { exactly, isExact } from './interval.ts';
import type { Body, Judgement } from './judgement.ts';
import { findJurisdiction, JURISDICTION_CODES } from './laws/jurisdictions.ts';
import { isOffered, limitsOf } from './mode-fit.ts';
import { parameter } from './parameters/parameters.ts';
import { ANY_AGE, everyAge, representatives } from './possible-sizes.ts';
import { isRestraint } from './rules/rule.ts';
import { TOLERANCE } from './units.ts';

/** The most a case can state (the schema refuses more). */
const MOST = { weight: 500, height: 300, age: 1200 } as const;
type Measure = keyof typeof MOST;

const SMALL = { weight: parameter('small-headroom-weight'), height: parameter('small-headroom-height') };
const ANCHOR_TOTALS = [parameter('lower-anchor-total-rear-facing'), parameter('lower-anchor-total-forward-facing')];

const MEASURE_OF_LIMIT: Readonly<Record<LimitName, Measure>> = {
  minWeightKg: 'weight',
  maxWeightKg: 'weight',
  minHeightCm: 'height',
  maxHeightCm: 'height',
  minAgeMonths: 'age',
};

const around = (values: readonly number[]): number[] =>
  values.flatMap((value) => (Number.isFinite(value) ? [value - TOLERANCE, value + TOLERANCE] : []));

const sorted = (values: number[]): number[] => values.sort((a, b) => a - b);

/** Both ends of a range and one value from each stretch between cuts, and around the values at which something may turn. */
const valuesIn = (range: Interval, turning: readonly number[], cuts: readonly number[] = []): Interval[] => {
  if (isExact(range)) return [range];
  const edges = sorted([...around(turning), ...cuts]);
  return [range.min, ...representatives(range, edges), range.max].map(exactly);
};

/** A range that no cut divides. */
const NOWHERE: Interval = exactly(0);

const ends = (limit: Limit): number[] => (limit == null ? [] : [limit.min, limit.max]);

const lawThresholds = (facts: ChildFacts, measure: Measure): number[] => {
  const clauses = (facts.jurisdiction && findJurisdiction(facts.jurisdiction)?.clauses) || [];
  return clauses
    .flatMap(({ applies, unless }) => [...applies.tests, ...(unless?.tests ?? [])])
    .filter((test) => test.measure === measure)
    .map(({ threshold }) => threshold);
};

/** A size that counts as it was stated; one that is implausible and not confirmed counts as absent and is asked again. */
const statedSize = ({ body }: Judgement, measure: 'weight' | 'height'): Interval | null =>
  measure === 'weight' ? body.statedWeight : body.statedHeight;

const cutsOf = (
  facts: ChildFacts,
  range: Pick<Body, 'age' | 'weight' | 'height'>,
  measure: Measure,
): readonly number[] => {
  const { ageMonths, weightKg, heightCm } = cutsFor(facts, range.age, range.weight, range.height);
  return measure === 'age' ? ageMonths : measure === 'weight' ? weightKg : heightCm;
};

const bodyValues = (facts: ChildFacts, judgement: Judgement, measure: 'weight' | 'height'): Interval[] => {
  const plausible = plausibleRange(measure, facts.age, facts.sex);
  const range = statedSize(judgement, measure) ?? {
    min: plausible.min,
    max: Math.min(plausible.max, MOST[measure]),
  };
  const turning = [...lawThresholds(facts, measure), ...ends(plausible)];
  if (isRestraint(facts.mode)) {
    const { maxWeightKg, maxHeightCm } = limitsOf(facts, facts.mode);
    turning.push(...ends(measure === 'weight' ? maxWeightKg : maxHeightCm).map((max) => max - SMALL[measure]));
  }
  if (measure === 'weight') turning.push(...anchorFigures(facts));
  return valuesIn(range, turning, cutsOf(facts, { ...judgement.body, [measure]: range }, measure));
};

/** Every child weight at which the lower-anchor limit may turn, and the figures it is made of. */
const anchorFigures = ({ anchorLimitRearFacing, anchorLimitForwardFacing, vehicleAnchorLimit, mass }: ChildFacts) => {
  const totals = [...ANCHOR_TOTALS, ...ends(vehicleAnchorLimit)];
  const masses = ends(mass);
  return [
    ...ends(anchorLimitRearFacing),
    ...ends(anchorLimitForwardFacing),
    ...totals,
    ...totals.flatMap((total) => masses.map((each) => total - each)),
  ];
};

/** Values of a figure or a mass at which the lower-anchor limit meets the child's weight, or one figure the other. */
const anchorValues = (facts: ChildFacts, { body }: Judgement, key: FactKey): Interval[] => {
  const { mode, vehicleAnchorLimit } = facts;
  const given = readFact(facts, key) as Interval | null;
  const label = mode === 'rear-facing' ? facts.anchorLimitRearFacing : facts.anchorLimitForwardFacing;
  const masses = facts.mass === null ? [0] : ends(facts.mass);
  const meets = [...ends(body.weight), ...ends(label)];
  const turning = (): number[] => {
    if (key === 'mass')
      return [...ANCHOR_TOTALS, ...ends(vehicleAnchorLimit)].flatMap((total) => meets.map((figure) => total - figure));
    if (key !== 'vehicleAnchorLimit')
      return [...ends(body.weight), ...ends(vehicleAnchorLimit).flatMap((total) => masses.map((mass) => total - mass))];
    const sums = meets.flatMap((figure) => masses.map((mass) => figure + mass));
    return label === null ? [...sums, ...ANCHOR_TOTALS] : sums;
  };
  return valuesIn(given ?? { min: 0, max: MOST.weight }, turning());
};

/** Lower anchors hold a harnessed child only, each mode by its own figure. */
const anchorFactApplies = ({ mode }: ChildFacts, key: FactKey): boolean =>
  (mode === 'rear-facing' && key !== 'anchorLimitForwardFacing') ||
  (mode === 'forward-facing' && key !== 'anchorLimitRearFacing');

/** A limit turns where the child's own measure does: at its ends, and at every cut that divides its range. */
const limitValues = (facts: ChildFacts, { body }: Judgement, name: LimitName, given: Limit): (Interval | null)[] => {
  const measure = MEASURE_OF_LIMIT[name];
  const sizes = ends(measure === 'age' ? body.age : body[measure]);
  const isMaximum = name === 'maxWeightKg' || name === 'maxHeightCm';
  // Passed below the child's size; near it while the headroom is small.
  const turning = isMaximum
    ? sizes.flatMap((size) => [size - TOLERANCE, size + SMALL[measure as keyof typeof SMALL] + TOLERANCE])
    : sizes.map((size) => size + TOLERANCE);
  const cuts = body.exact ? [] : cutsOf(facts, body, measure);
  const range = given ?? { min: 0, max: MOST[measure] };
  const values = representatives(range, sorted([...turning, ...cuts])).map(exactly);
  return given === undefined ? [null, ...values] : values;
};

/** Whether more than one value is possible: absent, or a range. */
export const isOpen = (facts: ChildFacts, judgement: Judgement, key: FactKey): boolean => {
  const value = key === 'weight' || key === 'height' ? statedSize(judgement, key) : readFact(facts, key);
  if (limitParts(key)) return value === undefined || (value !== null && !isExact(value as Interval));
  if (FACT_SPECS[key].values !== 'number') return value === null;
  return value === null || !isExact(value as Interval);
};

const ageValues = (facts: ChildFacts): readonly number[] => {
  const range = facts.age ?? ANY_AGE;
  const cuts = cutsOf(facts, { age: range, weight: NOWHERE, height: NOWHERE }, 'age');
  return everyAge(
    range,
    [...cuts, ...lawThresholds(facts, 'age')].sort((a, b) => a - b),
  );
};

const numberValues = (facts: ChildFacts, judgement: Judgement, key: FactKey): (Interval | null)[] => {
  switch (key) {
    case 'weight':
    case 'height':
      return bodyValues(facts, judgement, key);
    case 'age':
      return ageValues(facts).map(exactly);
    case 'movement':
      return valuesIn(facts.movement ?? { min: 0, max: MOST.height }, [parameter('max-movement')]);
    case 'headClearance':
      return valuesIn(facts.headClearance ?? { min: 0, max: MOST.height }, [parameter('min-head-clearance')]);
    default:
      return anchorFactApplies(facts, key) ? anchorValues(facts, judgement, key) : [];
  }
};

/**
 * Values of an open fact such that any other value it can have is judged as one of these is, all else as it stands.
 * Empty for a fact that is known, or that does not apply: a limit of a mode the seat does not have.
 */
export const criticalValues = (facts: ChildFacts, judgement: Judgement, key: FactKey): readonly unknown[] => {
  if (!isOpen(facts, judgement, key)) return [];
  const { values } = FACT_SPECS[key];
  const limit = limitParts(key);
  if (limit) {
    if (isOffered(facts, limit.mode) === false) return [];
    return limitValues(facts, judgement, limit.name, readFact(facts, key) as Limit);
  }
  if (values === 'number') return numberValues(facts, judgement, key);
  // A confirmation changes nothing about a size that is plausible.
  if (key === 'sizeConfirmed' && !judgement.body.weightImplausible && !judgement.body.heightImplausible) return [];
  if (key === 'jurisdiction') return JURISDICTION_CODES;
  return values === 'id' ? [] : values;
};
