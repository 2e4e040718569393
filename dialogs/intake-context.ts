import { z } from 'zod';
import { caregiverWordsSchema } from '#shared/summary.ts';
import { LANGUAGES } from './understanding/types.ts';

const factValue = z.union([
  z.string(),
  z.number(),
  z.boolean(),
  z.null(),
  z.strictObject({ min: z.number(), max: z.number() }),
]);

/** Names a question about someone or something: `weight:c1`, `label-limits:s1:rear-facing`, `vehicle`. */
const questionKey = z.string();

/** What one message settled about one question: facts, or an honest "I don't know" (`unsure`). */
export const answerSchema = z.strictObject({
  question: questionKey,
  facts: z.record(z.string(), factValue),
  /** Ids of the choices that were ticked or named, for the review. */
  chosen: z.array(z.string()).optional(),
  /** Facts the caregiver does not know; not asked again. */
  declined: z.array(z.string()),
  unsure: z.boolean(),
  /** Number of the turn, so that "back" takes away all that one message said. */
  turn: z.int(),
});

/** What waits for a yes or no. */
const pendingSchema = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('read-back'),
    answers: z.array(answerSchema),
  }),
  z.strictObject({ kind: z.literal('restart') }),
  z.strictObject({ kind: z.literal('delete') }),
  z.strictObject({ kind: z.literal('cancel-time') }),
]);

const earlierSchema = z.strictObject({ reference: z.string(), minutes: z.int() });

/** All that the conversation knows; plain JSON. The next question is computed from it, never stored as truth. */
export const intakeContextSchema = z.strictObject({
  language: z.enum(LANGUAGES),
  eventId: z.string().nullable(),
  /** The calendar day of the latest message. */
  today: z.string(),
  consented: z.boolean(),
  turn: z.int(),
  answers: z.array(answerSchema),
  words: z.array(caregiverWordsSchema),
  /** The question that stands unanswered on the caregiver's screen. */
  asking: questionKey.nullable(),
  /** A question reopened by "back" or "change", asked before any other. */
  reopened: questionKey.nullable(),
  pending: pendingSchema.nullable(),
  /** A language offered because a message seemed to be written in it, and that message. */
  offered: z.strictObject({ language: z.enum(LANGUAGES), text: z.string() }).nullable(),
  /** Dangers already said: code, child and seat. */
  told: z.array(z.string()),
  misunderstood: z.int(),
  contact: z.string().nullable(),
  /** A person took the conversation over after the summary was sent, and nothing was changed since. */
  afterSending: z.literal(true).optional(),
  notes: z.array(z.string()),
  /** The time that the family has at its event: an instant (ISO 8601) and minutes. */
  slot: z.strictObject({ start: z.string(), minutes: z.int() }).optional(),
  /** Times on the caregiver's screen, and the one after which the next to show begin. */
  timesShown: z.array(z.string()).optional(),
  timesAfter: z.string().optional(),
  /** The code by which the family and the technician name this case. */
  reference: z.string(),
  /** The cases that this conversation finished before, for another car of the family, and how long their visit takes. */
  earlier: z.array(earlierSchema),
});

export type IntakeContext = z.infer<typeof intakeContextSchema>;
export type Answer = z.infer<typeof answerSchema>;
export type Pending = z.infer<typeof pendingSchema>;
export type EarlierCase = z.infer<typeof earlierSchema>;

export const freshContext = (
  language: IntakeContext['language'],
  eventId: string | null,
  today: string,
  reference: string,
): IntakeContext => ({
  language,
  eventId,
  today,
  consented: false,
  turn: 0,
  answers: [],
  words: [],
  asking: null,
  reopened: null,
  pending: null,
  offered: null,
  told: [],
  misunderstood: 0,
  contact: null,
  notes: [],
  reference,
  earlier: [],
});
