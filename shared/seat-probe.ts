import { addMonths, firstDay } from './dates.ts';
import type { FindingCode } from './finding-codes.ts';
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

/** Days before, at and after the ones on which a seat expires or starts to expire soon, `back` months earlier. */
const turningDays = (asOf: string, back: number): string[] =>
  [-1, 0, NEAR_EXPIRY - 1, NEAR_EXPIRY, NEAR_EXPIRY + 1].map((months) => addMonths(asOf, months - back));

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
  if (key === 'expiryDate') return [OLDEST, ...turningDays(asOf, 0), NEWEST];
  const lives = usefulLifeYears === null ? [] : [usefulLifeYears.min, usefulLifeYears.max];
  return [OLDEST, ...lives.flatMap((years) => turningDays(asOf, Math.floor(years * 12))), NEWEST];
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
  return { matters: outcomes.size > 1, couldRaise };
};
