import type { Reading, ReadRequest, ReadValues } from '#dialogs/understanding/types.ts';

export interface Case extends ReadRequest {
  readonly id: string;
  readonly expect: { readonly values: ReadValues; readonly intent?: string; readonly mustConfirm: boolean };
}

export type Outcome = 'right' | 'needless-confirm' | 'honest-miss' | 'not-read-back' | 'silent-wrong';

const TOLERANCE: Readonly<Record<string, number>> = { weightKg: 0.05, heightCm: 0.3 };

const numbers = (value: unknown): readonly number[] => (Array.isArray(value) ? value : [value as number]);

const isEqual = (key: string, given: unknown, wanted: unknown): boolean => {
  const tolerance = TOLERANCE[key];
  if (tolerance === undefined) return JSON.stringify(given) === JSON.stringify(wanted);
  const [left, right] = [numbers(given), numbers(wanted)];
  // The set prints rounded values.
  return (
    left.length === right.length &&
    left.every((each, index) => Math.abs(each - (right[index] ?? Number.NaN)) <= tolerance + 1e-9)
  );
};

/** Which mode plainly follows from a seat kind, so that either may be given beside the other. */
const FOLLOWS: Readonly<Record<string, string>> = {
  'rear-facing-only': 'rear-facing',
  'forward-facing-harness': 'forward-facing',
  booster: 'booster',
  vest: 'forward-facing',
  combination: 'forward-facing',
};

const plainlyFollows = (key: string, values: ReadValues, wanted: ReadValues): boolean => {
  if (key === 'seatKind' && wanted.mode) return values.seatKind === 'booster' && wanted.mode === 'booster';
  if (key === 'mode' && wanted.seatKind) return FOLLOWS[wanted.seatKind] === values.mode;
  return false;
};

/** Of two expected values of which one plainly follows, either alone is enough. */
const isImplied = (key: string, wanted: ReadValues, given: ReadValues): boolean =>
  wanted.mode !== undefined &&
  wanted.seatKind !== undefined &&
  FOLLOWS[wanted.seatKind] === wanted.mode &&
  (key === 'seatKind' ? given.mode !== undefined : key === 'mode' && given.seatKind !== undefined);

/** Where nothing is to be taken as it is said: nothing read, or, where that is allowed, what was read is asked back. */
const scoreNothing = (
  mayAsk: boolean,
  given: number,
  { confidence, intent }: Pick<Reading, 'confidence' | 'intent'>,
): Outcome => {
  if (intent) return 'silent-wrong';
  if (given === 0) return 'right';
  if (confidence === 'sure') return 'silent-wrong';
  return mayAsk ? 'right' : 'needless-confirm';
};

/** The outcome of one case, as the README of the development set defines it. */
export const score = ({ asked, expect }: Case, { values, confidence, intent }: Reading): Outcome => {
  const wanted = Object.entries(expect.values);
  const given = Object.entries(values).filter(([key]) => !plainlyFollows(key, values, expect.values));
  const wrong = given.some(
    ([key, value]) => !(key in expect.values) || !isEqual(key, value, expect.values[key as keyof ReadValues]),
  );
  const missing = wanted.some(([key]) => !(key in values) && !isImplied(key, expect.values, values));
  const allowed = asked === 'yes-no' && expect.values.answer === 'unsure' && intent === 'unsure';
  const intentRight = intent === expect.intent || allowed;
  if (wanted.length === 0 && expect.intent === undefined)
    return scoreNothing(expect.mustConfirm, given.length, { confidence, intent });
  if (
    confidence === 'none' &&
    (given.length === 0 || wanted.length > 0) &&
    !(expect.intent && wanted.length === 0 && intentRight)
  )
    return intent && !intentRight ? 'silent-wrong' : 'honest-miss';
  if (wanted.length === 0) {
    if (confidence === 'confirm') return intentRight && given.length === 0 ? 'needless-confirm' : 'honest-miss';
    if (!intentRight && intent) return 'silent-wrong';
    if (given.length > 0) return 'silent-wrong';
    return intentRight ? 'right' : 'honest-miss';
  }
  if (confidence === 'confirm') {
    if (wrong || missing || !intentRight) return 'honest-miss';
    return expect.mustConfirm ? 'right' : 'needless-confirm';
  }
  if (wrong) return 'silent-wrong';
  if (intent && !intentRight) return 'silent-wrong';
  if (missing || !intentRight) return 'honest-miss';
  return expect.mustConfirm ? 'not-read-back' : 'right';
};

export interface Tally {
  right: number;
  total: number;
  outcomes: Record<Outcome, number>;
}

export const emptyTally = (): Tally => ({
  right: 0,
  total: 0,
  outcomes: { right: 0, 'needless-confirm': 0, 'honest-miss': 0, 'not-read-back': 0, 'silent-wrong': 0 },
});

export const count = (tally: Tally, outcome: Outcome): void => {
  tally.total += 1;
  tally.outcomes[outcome] += 1;
  if (outcome === 'right') tally.right += 1;
};
