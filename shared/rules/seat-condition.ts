import type { Urgency } from '#shared/assessment.ts';
import { addMonths, firstDay, lastDay } from '#shared/dates.ts';
import type { Interval } from '#shared/interval.ts';
import { parameter } from '#shared/parameters/parameters.ts';
import type { SeatFacts } from '#shared/seat-facts.ts';
import { MINOR_CRASH } from '#shared/seat-facts.ts';
import type { SeatRule } from './rule.ts';
import { NOW, PLAN, VISIT } from './rule.ts';

const NEAR_EXPIRY = parameter('near-expiry');

interface Expiry {
  readonly earliest: string;
  readonly latest: string;
}

const endOfLife = (made: string, years: number): string => addMonths(firstDay(made), Math.floor(years * 12 + 1e-6));

/** The last days the seat may be used: the printed date, else made plus useful life; null while unknown. */
export const expiryOf = ({ expiryDate, manufactureDate, usefulLifeYears }: SeatFacts): Expiry | null => {
  if (expiryDate !== null) return { earliest: lastDay(expiryDate), latest: lastDay(expiryDate) };
  if (manufactureDate === null || usefulLifeYears === null) return null;
  const { min, max }: Interval = usefulLifeYears;
  return { earliest: endOfLife(manufactureDate, min), latest: endOfLife(manufactureDate, max) };
};

const inCrash = (test: (facts: SeatFacts) => boolean, urgency: Urgency) => (facts: SeatFacts) =>
  facts.crashHappened === true && test(facts) ? urgency : null;

const CRASH_SOURCES = ['S-130', 'S-131', 'S-132'] as const;
const CRASH_FACTS = ['crashHappened', ...MINOR_CRASH] as const;

/** The seat itself: its age, crashes, label, parts and certification. */
export const SEAT_CONDITION_RULES: readonly SeatRule[] = [
  {
    code: 'seat-expired',
    urgencies: [NOW],
    sources: ['S-043', 'S-136', 'S-137'],
    reads: ['expiryDate', 'manufactureDate', 'usefulLifeYears'],
    when: (facts) => {
      const expiry = expiryOf(facts);
      return expiry !== null && facts.asOf > expiry.latest ? NOW : null;
    },
  },
  {
    code: 'seat-expires-soon',
    urgencies: [PLAN],
    sources: ['S-043', 'S-136', 'S-137'],
    parameters: ['near-expiry'],
    reads: ['expiryDate', 'manufactureDate', 'usefulLifeYears'],
    when: (facts) => {
      const expiry = expiryOf(facts);
      if (expiry === null || facts.asOf > expiry.earliest) return null;
      return expiry.latest <= addMonths(facts.asOf, NEAR_EXPIRY) ? PLAN : null;
    },
  },
  {
    code: 'seat-crashed',
    urgencies: [NOW],
    sources: CRASH_SOURCES,
    reads: CRASH_FACTS,
    when: inCrash((facts) => MINOR_CRASH.some((condition) => facts[condition] === false), NOW),
  },
  {
    code: 'seat-crash-unclear',
    urgencies: [VISIT],
    sources: CRASH_SOURCES,
    reads: CRASH_FACTS,
    when: inCrash(
      (facts) =>
        MINOR_CRASH.every((condition) => facts[condition] !== false) &&
        MINOR_CRASH.some((condition) => facts[condition] === null),
      VISIT,
    ),
  },
  {
    code: 'seat-crash-minor',
    urgencies: [PLAN],
    sources: CRASH_SOURCES,
    reads: CRASH_FACTS,
    when: inCrash((facts) => MINOR_CRASH.every((condition) => facts[condition] === true), PLAN),
  },
  {
    code: 'seat-label-missing',
    urgencies: [VISIT],
    sources: ['S-022', 'S-134', 'S-135'],
    reads: ['labelReadable'],
    when: ({ labelReadable }) => (labelReadable === false ? VISIT : null),
  },
  {
    code: 'seat-parts-missing',
    urgencies: [VISIT],
    sources: ['S-134'],
    reads: ['partsComplete'],
    when: ({ partsComplete }) => (partsComplete === false ? VISIT : null),
  },
  {
    code: 'seat-not-certified',
    urgencies: [NOW],
    sources: ['S-022', 'S-239', 'S-242'],
    reads: ['certified'],
    when: ({ certified }) => (certified === false ? NOW : null),
  },
];
