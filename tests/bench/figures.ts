/** The value at or below which this share of the values lies (nearest rank). */
export function percentile(values: readonly number[], share: number): number {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[Math.max(0, Math.ceil(share * sorted.length) - 1)] ?? Number.NaN;
}

export const median = (values: readonly number[]): number => percentile(values, 0.5);

export const rounded = (value: number, digits = 3): number => Number(value.toPrecision(digits));

/** The ratios of two rows of figures, pair by pair: what slows a whole round leaves its ratio as it is. */
export const medianRatio = (ours: readonly number[], theirs: readonly number[]): number =>
  rounded(median(ours.map((value, i) => value / (theirs[i] ?? Number.NaN))));
