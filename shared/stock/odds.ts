/** A probability or a number that is known no closer than this; `low` is `high` where a source or the tables say it. */
export interface Bounds {
  readonly low: number;
  readonly high: number;
}

export const SURELY: Bounds = { low: 1, high: 1 };
/** Nothing published says how often: from never to always. */
export const PERHAPS: Bounds = { low: 0, high: 1 };
export const NEVER: Bounds = { low: 0, high: 0 };

export const isPossible = ({ high }: Bounds): boolean => high > 0;

/** The sum of bounds: what is expected of several needs together. */
export const sumOf = (all: readonly Bounds[]): Bounds =>
  all.reduce((sum, { low, high }) => ({ low: sum.low + low, high: sum.high + high }), NEVER);
