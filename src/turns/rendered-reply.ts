import { z } from 'zod';

const seated = z.object({ place: z.string(), who: z.string() });

/** One turn of the bot in the caregiver's words; the shape of a `--json` line (contracts, Chat turns). */
export const renderedReplySchema = z.object({
  say: z.array(z.string()),
  choices: z.array(z.object({ id: z.string(), text: z.string() })),
  /** Several choices may be ticked at once. */
  many: z.boolean(),
  /** The question's id; null only when done or while a person has the thread. */
  asking: z.string().nullable(),
  child: z.string().optional(),
  seat: z.string().optional(),
  mode: z.string().optional(),
  /** Who sits where today and in one other way, for channels that can draw; the words tell the same. */
  seating: z.object({ today: z.array(seated), proposed: z.array(seated) }).optional(),
  /** Codes of the dangers said in this turn. */
  told: z.array(z.string()),
  done: z.boolean(),
  /** BCP 47 language the words are in. */
  language: z.string(),
});

export type RenderedReply = z.infer<typeof renderedReplySchema>;
