/** All values a fact can have, both ends included. An absent fact is the widest interval its context allows. */
export interface Interval {
  readonly min: number;
  readonly max: number;
}

/** true for every completion, false for every completion, else unknown. */
export type Truth = 'true' | 'false' | 'unknown';

export const UNBOUNDED: Interval = { min: 0, max: Number.POSITIVE_INFINITY };

export const exactly = (value: number): Interval => ({ min: value, max: value });
