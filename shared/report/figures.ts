import { z } from 'zod';
import { ADVISED_MODES, MODES_IN_USE, SEAT_KINDS } from '../case.ts';
import { completedMonths, lastDay } from '../dates.ts';
import { FINDING_CODES } from '../finding-codes.ts';
import type { PreVisitSummary } from '../summary.ts';

/** Whole years, the last without an end: coarse enough that an age alone tells nobody apart. */
export const AGE_BANDS = ['0', '1', '2-3', '4-7', '8-'] as const;
export type AgeBand = (typeof AGE_BANDS)[number];

const rideSchema = z.strictObject({
  childId: z.string(),
  seatId: z.string().nullable(),
  age: z.enum(AGE_BANDS).nullable(),
  /** How the child rides; null where it is not known. */
  mode: z.enum(MODES_IN_USE).nullable(),
  advised: z.enum(ADVISED_MODES).nullable(),
  kind: z.enum(SEAT_KINDS).nullable(),
  /** What is to be corrected: findings that concern this child or its seat, plans for later left out. */
  findings: z.array(z.enum(FINDING_CODES)),
});

export const ridesSchema = z.array(rideSchema);

/** One child and the seat it rides in, without a word of who it is. */
export type Ride = z.infer<typeof rideSchema>;

type Child = PreVisitSummary['case']['children'][number];

function monthsOf({ ageMonths, birthDate }: Child, asOf: string): number | null {
  if (typeof ageMonths === 'number') return ageMonths;
  if (ageMonths) return ageMonths.min;
  return birthDate && lastDay(birthDate) <= asOf ? completedMonths(lastDay(birthDate), asOf) : null;
}

export function ageBand(months: number | null): AgeBand | null {
  if (months === null) return null;
  if (months < 12) return '0';
  if (months < 24) return '1';
  if (months < 48) return '2-3';
  return months < 96 ? '4-7' : '8-';
}

/** What a report counts of a case: one line for each child. */
export function ridesOf({ case: facts, assessment }: Pick<PreVisitSummary, 'case' | 'assessment'>): readonly Ride[] {
  return facts.children.map((child) => {
    const use = facts.uses.find(({ childId }) => childId === child.id);
    const seatId = use?.seatId ?? null;
    const concerns = assessment.findings.filter(
      ({ urgency, childId, seatId: seat }) =>
        urgency !== 'plan-ahead' && (childId === child.id || (childId === null && seat !== null && seat === seatId)),
    );
    return {
      childId: child.id,
      seatId,
      age: ageBand(monthsOf(child, facts.asOf)),
      mode: use?.mode ?? null,
      advised: assessment.children.find(({ childId }) => childId === child.id)?.advice.mode ?? null,
      kind: facts.seats.find(({ id }) => id === seatId)?.kind ?? null,
      findings: [...new Set(concerns.map(({ code }) => code))],
    };
  });
}
