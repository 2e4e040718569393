/** A fixed sequence of choices: the same seed meets the same families on every run. */
export interface Chance {
  /** From `min` up to `max`. */
  readonly between: (min: number, max: number) => number;
  /** A whole number, both ends included. */
  readonly whole: (min: number, max: number) => number;
  readonly oneOf: <T>(values: readonly T[]) => T;
  /** True this often, of one. */
  readonly happens: (share: number) => boolean;
}

const MODULUS = 2147483647;
const MULTIPLIER = 48271;

/** Choices behind a Lehmer sequence (Park and Miller's modulus and multiplier); the seed is a whole number from 1. */
export function chance(seed: number): Chance {
  let state = (seed * 7919) % MODULUS;
  const next = (): number => {
    state = (state * MULTIPLIER) % MODULUS;
    return state / MODULUS;
  };
  const whole = (min: number, max: number): number => min + Math.floor(next() * (max - min + 1));
  return {
    between: (min, max) => min + next() * (max - min),
    whole,
    oneOf: <T>(values: readonly T[]): T => values[whole(0, values.length - 1)] as T,
    happens: (share) => next() < share,
  };
}
