import type { Case, Child, Limits, Measure, RestraintMode, Seat, Use } from '#shared/case.ts';
import { ageSpan, agesOf, grid, HEIGHTS, implausible, limitValues, type Span, spanOf, WEIGHTS } from './grids.ts';
import { plausibleRange, type Quantity, type Sex } from './growth.ts';
import { IN, LB, MODES, mayTurnOut, type Point, type PointLimits } from './point.ts';

/** Where a child's measure decides: at a label's limits, and at the headroom below its greatest. */
function labelCriticals(limits: readonly Limits[], ends: (label: Limits) => Measure[], room: number): number[] {
  return limits
    .flatMap(ends)
    .flatMap(limitValues)
    .flatMap((value) => [value, value - room]);
}

/** Each value a label's limit can have: exact, none, unknown, or a grid. */
function limitChoices(limit: Measure | undefined, critical: readonly number[]): (number | null | undefined)[] {
  if (limit === undefined || limit === null) return [limit];
  return grid(spanOf(limit) as Span, critical);
}

function product<T>(lists: readonly (readonly T[])[]): T[][] {
  return lists.reduce<T[][]>((done, list) => done.flatMap((head) => list.map((item) => [...head, item])), [[]]);
}

const limitsFrom = ([minWeight, maxWeight, minHeight, maxHeight, minAge]: readonly (
  | number
  | null
  | undefined
)[]): PointLimits => ({ minWeight, maxWeight, minHeight, maxHeight, minAge });

/** A stated number as a grid; an absent one as itself, unknown. */
const known = (value: Measure | undefined, critical: readonly number[]): (number | null)[] =>
  value == null ? [null] : grid(spanOf(value) as Span, critical);

export interface Completions {
  readonly points: readonly Point[];
  readonly use: Use | null;
  readonly seat: Seat | null;
}

/** More than this take longer to try than they teach. */
const MOST_POINTS = 3000;

/** Null for a child with more completions than are worth trying. Every point of one child, without the completion of unknown fits (see `fits`) and without the law's demands. */
export function pointsOf(kase: Case, child: Child): Completions | null {
  const use = kase.uses.find((entry) => entry.childId === child.id) ?? null;
  const seat = kase.seats.find((entry) => entry.id === use?.seatId) ?? null;
  const labels = MODES.map((mode) => seat?.modes?.[mode] ?? null);
  const given = labels.filter((label) => label !== null);
  const mode = use?.mode === 'rear-facing' || use?.mode === 'forward-facing' ? use.mode : null;
  const anchorLabel = mode ? seat?.lowerAnchorLimitKg?.[mode] : null;
  const vehicleAnchors = kase.vehicle?.lowerAnchorLimitKg;

  const stands = (quantity: Quantity) => child.sizeConfirmed === true || !implausible(child, kase.asOf, quantity);
  const weightSpan = stands('weight') ? spanOf(child.weightKg ?? null) : null;
  const heightSpan = stands('height') ? spanOf(child.heightCm ?? null) : null;

  const ends = (span: Span | null) => (span ? [span.min, span.max] : []);
  const massEnds = ends(spanOf(seat?.massKg ?? null));
  const vehicleEnds = ends(spanOf(vehicleAnchors ?? null));
  const standard = (mode === 'rear-facing' ? 60 : 65) * LB;
  const anchors = [
    ...ends(spanOf(anchorLabel ?? null)),
    ...massEnds.map((mass) => standard - mass),
    ...massEnds.flatMap((mass) => vehicleEnds.map((figure) => figure - mass)),
    ...vehicleEnds,
    standard,
  ];
  const weightCritical = [
    ...WEIGHTS,
    ...labelCriticals(given, (label) => [label.minWeightKg, label.maxWeightKg], 2 * LB),
    ...anchors,
  ];
  const heightCritical = [...HEIGHTS, ...labelCriticals(given, (label) => [label.minHeightCm, label.maxHeightCm], IN)];
  const childWeights = ends(weightSpan);
  const childHeights = ends(heightSpan);
  const ages = agesOf(
    child,
    kase.asOf,
    given.flatMap((label) => limitValues(label.minAgeMonths)),
  );
  const sexes: readonly Sex[] = child.sex ? [child.sex] : ['female', 'male'];

  const bodies = ages.flatMap((age) =>
    sexes.flatMap((sex) => {
      const possible = (quantity: Quantity, span: Span | null, most: number) =>
        span ?? (ageSpan(child, kase.asOf) && plausibleRange(quantity, sex, age)) ?? { min: 0, max: most };
      const weights = grid(possible('weight', weightSpan, 500), weightCritical);
      const heights = grid(possible('height', heightSpan, 300), heightCritical);
      return weights.flatMap((weight) => heights.map((height) => ({ age, sex, weight, height })));
    }),
  );
  const labelChoices = labels.flatMap((label) => [
    limitChoices(label?.minWeightKg, [...childWeights]),
    limitChoices(label?.maxWeightKg, [...childWeights, ...childWeights.map((kg) => kg + 2 * LB)]),
    limitChoices(label?.minHeightCm, [...childHeights]),
    limitChoices(label?.maxHeightCm, [...childHeights, ...childHeights.map((cm) => cm + IN)]),
    limitChoices(label?.minAgeMonths, []),
  ]);
  // An absent mass is every mass: the two ends, and where it decides between the figures.
  const massSpan = spanOf(seat?.massKg ?? null);
  const masses = known(
    massSpan,
    childWeights.flatMap((w) => [standard - w, ...vehicleEnds.map((figure) => figure - w)]),
  );
  const otherChoices = [
    masses,
    known(anchorLabel, childWeights),
    known(vehicleAnchors, [...childWeights, ...massEnds.flatMap((mass) => childWeights.map((w) => w + mass))]),
    known(use?.movementCm, [IN]),
    known(use?.headClearanceCm, [IN]),
  ];
  const count = [bodies, ...labelChoices, ...otherChoices].reduce((size, list) => size * list.length, 1);
  if (count > MOST_POINTS) return null;
  const labelSets = product<number | null | undefined>(labelChoices).map((values) =>
    labels.map((label, i) => label && limitsFrom(values.slice(5 * i, 5 * i + 5))),
  );
  const rest = product<number | null>(otherChoices);

  const stated = { age: ageSpan(child, kase.asOf) !== null, weight: weightSpan !== null, height: heightSpan !== null };
  const points: Point[] = [];
  for (const body of bodies)
    for (const set of labelSets)
      for (const [mass, label, vehicle, movement, headClearance] of rest) {
        const limits: Partial<Record<RestraintMode, PointLimits>> = {};
        MODES.forEach((name, i) => {
          const label = set[i];
          if (label) limits[name] = label;
        });
        points.push({
          child: {
            id: child.id,
            ...body,
            stated,
            ridesUpright: child.ridesUpright ?? null,
            preterm: child.bornBeforeWeek37 ?? null,
            medical: child.medicalNeeds ?? null,
          },
          use,
          seat,
          limits,
          completeAs: { 'rear-facing': 'unknown', 'forward-facing': 'unknown', booster: 'unknown' },
          demanded: [],
          mass: mass ?? null,
          anchorLabel: label ?? null,
          vehicleAnchors: vehicle ?? null,
          movement: movement ?? null,
          headClearance: headClearance ?? null,
          kase,
        });
      }
  return { points, use, seat };
}

/** A point with each unknown status completed in every way it may turn out. */
export function fits(point: Point): Point[] {
  return product(MODES.map((mode) => mayTurnOut(point, mode))).map(
    ([rear = 'unknown', forward = 'unknown', booster = 'unknown']) => ({
      ...point,
      completeAs: { 'rear-facing': rear, 'forward-facing': forward, booster },
    }),
  );
}
