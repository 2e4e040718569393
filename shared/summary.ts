import { z } from 'zod';
import { assessmentSchema } from './assessment.ts';
import { caseSchema } from './case.ts';

/** What a caregiver typed, beside what was read from it; `asking` is null for an opening message. */
export const caregiverWordsSchema = z.strictObject({
  asking: z.string().nullable(),
  text: z.string(),
  values: z.record(z.string(), z.unknown()),
});

/** What the technician receives before the visit; it alone lets anyone recompute the decision. */
export const preVisitSummarySchema = z.strictObject({
  reference: z.string(),
  createdAt: z.iso.datetime(),
  language: z.string(),
  channel: z.string(),
  complete: z.boolean(),
  person: z.boolean(),
  event: z.string().nullable(),
  case: caseSchema,
  assessment: assessmentSchema,
  caregiverWords: z.array(caregiverWordsSchema),
  verifyFirst: z.array(z.string()),
  notes: z.string(),
});

export type CaregiverWords = z.infer<typeof caregiverWordsSchema>;
export type PreVisitSummary = z.infer<typeof preVisitSummarySchema>;
