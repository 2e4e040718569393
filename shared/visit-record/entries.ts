import { z } from 'zod';
import { caseSchema, SEAT_KINDS } from '../case.ts';
import { FINDING_CODES } from '../finding-codes.ts';

export const STAGES = ['found', 'left'] as const;
/** How a fact came to be known at the kerb. */
export const HOWS = ['scale', 'tape', 'label', 'seen', 'told'] as const;
export const VERDICTS = ['confirmed', 'not-found', 'corrected'] as const;
/** What a caregiver was shown or told; `did-it` is the caregiver doing the installation alone at the end (common practice). */
export const TOPICS = ['install', 'harness', 'tether', 'belt-fit', 'next-step', 'recall', 'crash', 'did-it'] as const;
export const CHANGES_OF_SEAT = ['supplied', 'replaced'] as const;
/** Why a signed record is corrected; `late`: written before the sign-off and arrived after it. */
export const REASONS = ['mistake', 'measured-again', 'seen-later', 'late'] as const;

export const MAX_NOTE_LENGTH = 1000;
export const MAX_NAME_LENGTH = 100;

const id = z.string().min(1).max(100);
const value = z.union([
  z.string().min(1).max(200),
  z.number(),
  z.boolean(),
  z.strictObject({ min: z.number(), max: z.number() }),
]);

const changeSchema = z.discriminatedUnion('kind', [
  /** A fact of the case by its path; null takes what was recorded back, so that the reported value counts again. */
  z.strictObject({
    kind: z.literal('fact'),
    stage: z.enum(STAGES),
    path: z.string().min(1).max(400),
    value: value.nullable(),
    how: z.enum(HOWS),
  }),
  /** Where a child sits. Left and right are seen facing forward. */
  z.strictObject({
    kind: z.literal('place'),
    stage: z.enum(STAGES),
    childId: id,
    row: z.int().min(1).max(3),
    side: z.enum(['left', 'center', 'right']),
  }),
  z.strictObject({
    kind: z.literal('finding'),
    code: z.enum(FINDING_CODES),
    childId: id.nullable(),
    seatId: id.nullable(),
    positionId: id.nullable(),
    verdict: z.enum(VERDICTS),
  }),
  z.strictObject({ kind: z.literal('education'), topic: z.enum(TOPICS), given: z.boolean() }),
  /** The seat a child leaves in, where it is not the one it came in; null: it is. */
  z.strictObject({
    kind: z.literal('seat'),
    childId: id,
    seat: z
      .strictObject({
        id,
        how: z.enum(CHANGES_OF_SEAT),
        kind: z.enum(SEAT_KINDS),
        description: z.string().max(MAX_NAME_LENGTH),
      })
      .nullable(),
  }),
  z.strictObject({ kind: z.literal('note'), text: z.string().min(1).max(MAX_NOTE_LENGTH) }),
  /** Whether the family wants to be reminded, and so agrees that its data are kept until then. */
  z.strictObject({ kind: z.literal('reminders'), wanted: z.boolean() }),
]);

export const visitBodySchema = z.discriminatedUnion('kind', [
  ...changeSchema.options,
  /** Freezes the record, together with the facts as they were reported by then. */
  z.strictObject({ kind: z.literal('sign-off'), reported: caseSchema }),
  /** All that may follow a sign-off. */
  z.strictObject({ kind: z.literal('correction'), why: z.enum(REASONS), change: changeSchema }),
]);

export type VisitChange = z.infer<typeof changeSchema>;
export type VisitBody = z.infer<typeof visitBodySchema>;
export type Stage = (typeof STAGES)[number];
export type How = (typeof HOWS)[number];
export type Verdict = (typeof VERDICTS)[number];
export type Topic = (typeof TOPICS)[number];
export type Reason = (typeof REASONS)[number];

/** One entry as it is kept: it is only ever added. */
export interface VisitEntry {
  /** Made by whoever wrote the entry, so that one sent twice is kept once. */
  readonly id: string;
  /** Position in the record of its case, from 1, in the order of arrival. */
  readonly seq: number;
  /** When it was written, which may be before it arrived (ISO 8601). */
  readonly at: string;
  readonly by: string;
  readonly body: VisitBody;
}
