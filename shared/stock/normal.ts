/** Past this the tail is below 1e-15. */
const FURTHEST = 8;

/**
 * The standard normal distribution up to z, by the series of its integral around the middle (NIST Digital Library of
 * Mathematical Functions, 7.6.2); right to about 1e-15.
 */
export function normalUpTo(z: number): number {
  if (z <= -FURTHEST) return 0;
  if (z >= FURTHEST) return 1;
  let term = z;
  let sum = z;
  for (let odd = 3; Math.abs(term) > 1e-17 * Math.abs(sum); odd += 2) {
    term *= (z * z) / odd;
    sum += term;
  }
  return 0.5 + (sum * Math.exp((-z * z) / 2)) / Math.sqrt(2 * Math.PI);
}
