import { TOLERANCE } from './units.ts';

/** All values a fact can have, both ends included. An absent fact is the widest interval its context allows. */
export interface Interval {
  readonly min: number;
  readonly max: number;
}

/** true for every completion, false for every completion, else unknown. */
export type Truth = 'true' | 'false' | 'unknown';

export const UNBOUNDED: Interval = { min: 0, max: Number.POSITIVE_INFINITY };

export const exactly = (value: number): Interval => ({ min: value, max: value });

/** A number, a range or an absent fact, as an interval; null for absent. */
export const toInterval = (measure: number | Interval | null | undefined): Interval | null =>
  measure == null ? null : typeof measure === 'number' ? exactly(measure) : measure;

export const isExact = (interval: Interval): boolean => interval.min === interval.max;

/** Above by more than the tolerance: a child of exactly the limit is not above it. */
export const isAbove = (value: number, limit: number): boolean => value > limit + TOLERANCE;

export const isBelow = (value: number, limit: number): boolean => value < limit - TOLERANCE;

/** Whether every value of `a` is above every value of `b`. */
export const surelyAbove = (a: Interval, b: Interval): boolean => isAbove(a.min, b.max);

export const surelyBelow = (a: Interval, b: Interval): boolean => isBelow(a.max, b.min);

/** Whether some value of `a` is above some value of `b`. */
export const maybeAbove = (a: Interval, b: Interval): boolean => isAbove(a.max, b.min);

export const maybeBelow = (a: Interval, b: Interval): boolean => isBelow(a.min, b.max);

/** The interval as it stands in an assessment: one number where exact, null where an end is not finite. */
export const toMeasure = ({ min, max }: Interval): number | { min: number; max: number } | null => {
  if (!Number.isFinite(min) || !Number.isFinite(max)) return null;
  return min === max ? min : { min, max };
};
