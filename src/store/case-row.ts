import { z } from 'zod';
import { ADVISED_MODES } from '#shared/case.ts';
import { completedMonths, firstDay, lastDay } from '#shared/dates.ts';
import { ridesOf } from '#shared/report/figures.ts';
import type { PreVisitSummary } from '#shared/summary.ts';
import { searchText } from './case-search.ts';
import type { Tables } from './tables.ts';

export const PRIORITIES = ['before-travel', 'early', 'routine'] as const;
export type Priority = (typeof PRIORITIES)[number];

const listedChildSchema = z.object({
  name: z.string().nullable(),
  /** Completed months on the day of the summary; a range where the age is not exact. */
  ageMonths: z.object({ min: z.number(), max: z.number() }).nullable(),
  mode: z.enum(ADVISED_MODES).nullable(),
  certainty: z.enum(['settled', 'provisional']).nullable(),
});

export const listedChildrenSchema = z.array(listedChildSchema);

/** What the list of cases says of a child. */
export type ListedChild = z.infer<typeof listedChildSchema>;

type Child = PreVisitSummary['case']['children'][number];

/** The child's age in completed months on `asOf`, both ends the same where it is exact; null where it is unknown. */
export function ageRange(child: Child, asOf: string): { min: number; max: number } | null {
  const { ageMonths, birthDate } = child;
  if (typeof ageMonths === 'number') return { min: ageMonths, max: ageMonths };
  if (ageMonths) return ageMonths;
  if (!birthDate) return null;
  const latest = lastDay(birthDate) < asOf ? lastDay(birthDate) : asOf;
  return { min: completedMonths(latest, asOf), max: completedMonths(firstDay(birthDate), asOf) };
}

function listedChild(child: Child, summary: PreVisitSummary): ListedChild {
  const advice = summary.assessment.children.find(({ childId }) => childId === child.id)?.advice;
  return {
    name: child.name ?? null,
    ageMonths: ageRange(child, summary.case.asOf),
    mode: advice?.mode ?? null,
    certainty: advice?.certainty ?? null,
  };
}

/** A summary as its row: whole, and beside it what the list sorts by and shows. */
export function caseRow(
  conversationId: string,
  summary: PreVisitSummary,
  at: string,
): Omit<Tables['cases'], 'visit_seen'> {
  const { findings, visit } = summary.assessment;
  const count = (urgency: string) => findings.filter((finding) => finding.urgency === urgency).length;
  return {
    reference: summary.reference,
    conversation_id: conversationId,
    event_id: summary.event,
    priority: PRIORITIES.indexOf(visit.priority),
    language: summary.language,
    minutes: visit.minutes,
    complete: summary.complete ? 1 : 0,
    person: summary.person ? 1 : 0,
    urgent_count: count('before-next-trip'),
    visit_count: count('at-the-visit'),
    verify_count: summary.verifyFirst.length,
    children: JSON.stringify(summary.case.children.map((child) => listedChild(child, summary))),
    summary: JSON.stringify(summary),
    rides: JSON.stringify(ridesOf(summary)),
    search_text: searchText(summary),
    created_at: summary.createdAt,
    updated_at: at,
  };
}
