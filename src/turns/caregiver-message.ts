import { z } from 'zod';
import type { Effect } from '#src/store/store.ts';

/** What is said to a caregiver out of turn, in the language of the conversation. */
export const caregiverMessageSchema = z.object({
  conversationId: z.string().min(1),
  text: z.string().min(1),
  /** Its line of the thread, where it stands there already. */
  lineId: z.string().optional(),
});

export type CaregiverMessage = z.infer<typeof caregiverMessageSchema>;

/**
 * The effect that delivers a message into its conversation, whatever channel that is on: once in the thread, and at
 * least once to the channel. `key` is the same however often the same message is asked for.
 */
export function tellCaregiver(message: CaregiverMessage, key: string, dueAt?: string): Effect {
  return {
    kind: 'caregiver-message',
    idempotencyKey: `tell:${message.conversationId}:${key}`,
    payload: message,
    ...(dueAt && { dueAt }),
  };
}
