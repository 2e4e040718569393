import type { Facts } from '../facts.ts';
import {
  childOf,
  type Heard,
  type Outcome,
  perChild,
  type Question,
  type Subject,
  seatFact,
  UNSURE,
} from './question.ts';
import { hasSeat } from './seats.ts';

const FIELDS = ['manufactureDate', 'expiryDate', 'usefulLifeYears'] as const;

/** Dates and useful life as said; `only` is what a bare date is taken for. */
export function hearDates({ dates, reading }: Heard, subject: Subject, only: (typeof FIELDS)[number]): Outcome | null {
  const child = childOf(subject);
  const known: Record<string, Facts[string]> = {};
  for (const field of FIELDS) {
    const value = dates?.[field];
    if (value !== undefined) known[seatFact(child, field)] = value;
  }
  if (Object.keys(known).length === 0 && reading.values.date) known[seatFact(child, only)] = reading.values.date;
  if (Object.keys(known).length > 0) {
    const confirm = dates?.mustConfirm ?? reading.confidence === 'confirm';
    return { kind: 'facts', facts: known, ...(confirm && { confirm }) };
  }
  return reading.intent === 'unsure' ? UNSURE : null;
}

/** When the seat was made, and its expiry or useful life if printed. */
export const seatDates: Question = {
  id: 'seat-dates',
  slot: 'date',
  numeric: true,
  deaf: ['date', 'birthDate', 'ageMonths', 'vehicleYear'],
  subjects: perChild(hasSeat),
  facts: (subject) => FIELDS.map((field) => seatFact(childOf(subject), field)),
  choices: () => ['not-found', 'unsure'],
  choose: () => UNSURE,
  hear: (heard, subject) => hearDates(heard, subject, 'manufactureDate'),
};
