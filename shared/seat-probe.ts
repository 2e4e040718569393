import { addMonths, firstDay } from './dates.ts';
import type { FindingCode } from './finding-codes.ts';
import type { Interval } from './interval.ts';
import { exactly, isExact } from './interval.ts';
import { parameter } from './parameters/parameters.ts';
import type { Probe } from './probe.ts';
import { NOTHING } from './probe.ts';
import { SEAT_RULES } from './rules/all-rules.ts';
import type { SeatRule } from './rules/rule.ts';
import type { SeatFactKey, SeatFacts } from './seat-facts.ts';
import { SEAT_FACT_KEYS, SEAT_FACT_SPECS } from './seat-facts.ts';

const NEAR_EXPIRY = parameter('near-expiry');
const MOST_YEARS = 100;
const OLDEST = '1900-01-01';
const NEWEST = '2100-01-01';

const RULES_OF_FACT = new Map<SeatFactKey, readonly SeatRule[]>(
  SEAT_FACT_KEYS.map((key) => [key, SEAT_RULES.filter(({ reads }) => reads.includes(key))]),
);

/** Days of manufacture on which the useful life ends on the day of `asOf`, or a month after it. */
const turningDays = (asOf: string, { min, max }: Interval): string[] =>
  (min === max ? [min] : [min, max])
    .map((years) => Math.floor(years * 12))
    .flatMap((months) => [addMonths(asOf, -months), addMonths(asOf, 1 - months)]);

/** Months of useful life after which the seat turns from one finding to the next. */
const turningYears = (asOf: string, made: string): number[] => {
  const [fromYear, fromMonth] = made.split('-').map(Number) as [number, number];
  const [toYear, toMonth] = asOf.split('-').map(Number) as [number, number];
  const age = (toYear - fromYear) * 12 + toMonth - fromMonth;
  return [-1, 0, 1, NEAR_EXPIRY - 1, NEAR_EXPIRY, NEAR_EXPIRY + 1].map((months) => (age + months) / 12);
};

const completionsOf = (facts: SeatFacts, key: SeatFactKey): readonly unknown[] => {
  const { asOf, manufactureDate, usefulLifeYears } = facts;
  const { values } = SEAT_FACT_SPECS[key];
  if (key === 'usefulLifeYears') {
    if (usefulLifeYears !== null && isExact(usefulLifeYears)) return [];
    const { min, max } = usefulLifeYears ?? { min: 0, max: MOST_YEARS };
    const turning = manufactureDate === null ? [] : turningYears(asOf, firstDay(manufactureDate));
    return [min, ...turning.filter((years) => years > min && years < max), max].map(exactly);
  }
  if (facts[key] !== null) return [];
  if (values !== 'date') return values as readonly (string | boolean)[];
  if (key === 'expiryDate') return [OLDEST, asOf, NEWEST];
  return [OLDEST, ...(usefulLifeYears === null ? [] : turningDays(asOf, usefulLifeYears)), NEWEST];
};

/** Tries every completion of one fact about a seat. Leaves the facts as they were. */
export const probeSeatFact = (facts: SeatFacts, key: SeatFactKey): Probe => {
  const values = completionsOf(facts, key);
  if (values.length === 0) return NOTHING;
  const rules = RULES_OF_FACT.get(key) ?? [];
  const before = facts[key];
  const now = rules.map(({ when }) => when(facts));
  const couldRaise = new Set<FindingCode>();
  const outcomes = new Set<string>();
  for (const value of values) {
    (facts as unknown as Record<string, unknown>)[key] = value;
    const urgencies = rules.map(({ when }) => when(facts));
    for (const [i, urgency] of urgencies.entries())
      if (urgency !== null && urgency !== now[i]) couldRaise.add((rules[i] as SeatRule).code);
    outcomes.add(urgencies.join());
  }
  (facts as unknown as Record<string, unknown>)[key] = before;
  return { matters: outcomes.size > 1, couldRaise, narrowsAdvice: false };
};
