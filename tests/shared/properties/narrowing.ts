import fc from 'fast-check';
import type { Case, Measure, RestraintMode } from '#shared/case.ts';
import { pointsOf } from '../oracle/completions.ts';
import { implausible, spanOf } from '../oracle/grids.ts';
import type { Quantity } from '../oracle/growth.ts';
import { IN, LB, MODES } from '../oracle/point.ts';

/** What may happen to one fact: it stays, becomes exact, or loses what lies above or below its value. */
export const HOW = ['stay', 'stay', 'exact', 'from', 'to'] as const;
type How = (typeof HOW)[number];

export interface Choice {
  /** Picks a completion of the case. */
  readonly point: number;
  readonly how: readonly How[];
}

export const choice: fc.Arbitrary<Choice> = fc.record({
  point: fc.nat(),
  how: fc.array(fc.constantFrom(...HOW), { minLength: 24, maxLength: 24 }),
});

function narrow(value: Measure | undefined, to: number, how: How | undefined): Measure | undefined {
  const span = spanOf(value ?? null);
  if (how === undefined || how === 'stay' || (span && span.min === span.max)) return value;
  if (!span || how === 'exact') return to;
  return how === 'from' ? { min: to, max: span.max } : { min: span.min, max: to };
}

/** A label maximum that was not known can be any figure; a known one shrinks around the point's. */
function narrowMaximum(
  value: Measure | undefined,
  at: number | null | undefined,
  how: How | undefined,
  figure: number,
) {
  if (value === null) return null;
  return narrow(value, at ?? figure, how);
}

/**
 * The same case with some ranges and absent numbers narrowed around one of its own completions. What the rules take as
 * known when it is absent (minima, head clearance, the label's lower-anchor figure) is narrowed only where it is a range.
 */
export function narrowed(kase: Case, { point: n, how }: Choice): Case {
  const [child, ...others] = kase.children;
  if (!child) return kase;
  const completions = pointsOf(kase, child);
  const point = completions?.points[n % completions.points.length];
  if (!completions || !point) return kase;
  const { seat } = completions;
  let next = 0;
  const step = () => how[next++];
  const stated = (value: Measure | undefined, to: number | null | undefined): Measure | undefined => {
    const way = step();
    return value == null || to == null ? value : narrow(value, to, way);
  };
  // A size that is not plausible counts as absent: what it could be is not what was said.
  const counts = (quantity: Quantity) => child.sizeConfirmed === true || !implausible(child, kase.asOf, quantity);
  const narrowChild = {
    ...child,
    ageMonths: narrow(child.ageMonths, point.child.age, step()),
    sex: step() === 'exact' ? point.child.sex : child.sex,
    weightKg: counts('weight') ? narrow(child.weightKg, point.child.weight, step()) : child.weightKg,
    heightCm: counts('height') ? narrow(child.heightCm, point.child.height, step()) : child.heightCm,
  };
  const label = (mode: RestraintMode) => {
    const limits = seat?.modes?.[mode];
    const at = point.limits[mode];
    if (!limits) return limits;
    return {
      ...limits,
      minWeightKg: stated(limits.minWeightKg, at?.minWeight),
      maxWeightKg: narrowMaximum(limits.maxWeightKg, at?.maxWeight, step(), 40 * LB),
      maxHeightCm: narrowMaximum(limits.maxHeightCm, at?.maxHeight, step(), 43 * IN),
    };
  };
  const seats = kase.seats.map((entry) =>
    entry.id === seat?.id
      ? {
          ...entry,
          modes: entry.modes && Object.fromEntries(MODES.map((mode) => [mode, label(mode)])),
          massKg: entry.massKg == null ? entry.massKg : narrow(entry.massKg, point.mass ?? 0, step()),
        }
      : entry,
  );
  const uses = kase.uses.map((entry) => ({
    ...entry,
    movementCm: stated(entry.movementCm, point.movement),
    headClearanceCm: stated(entry.headClearanceCm, point.headClearance),
  }));
  return { ...kase, children: [narrowChild, ...others], seats, uses };
}
