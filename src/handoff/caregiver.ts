import type { Clock } from '#src/clock.ts';
import type { Delivery } from '#src/store/outbox.ts';
import type { ConversationStore } from '#src/store/store.ts';
import { caregiverMessageSchema } from '#src/turns/caregiver-message.ts';
import { OUTBOX_LINE } from '#src/turns/person-lines.ts';
import type { RenderedReply } from '#src/turns/rendered-reply.ts';
import type { Channel } from '#src/turns/turns-types.ts';
import type { Sent } from './destination.ts';

/** What is said out of turn; `reply` where it is the bot's, with its choices. */
export interface OutOfTurn {
  readonly text: string;
  readonly reply: RenderedReply | null;
  /** The same however often it is sent. */
  readonly id: string;
}

/** Writes to a caregiver by the address that the channel has stored of the conversation. */
export type WriteTo = (channelAddress: string, said: OutOfTurn) => Promise<Sent>;

export interface CaregiverDeps {
  readonly conversations: Pick<ConversationStore, 'load' | 'note' | 'thread'>;
  readonly clock: Clock;
  /** Channels that are written to; the others read the thread as their feed. */
  readonly channels: Readonly<Partial<Record<Channel, WriteTo>>>;
}

/** What a delivery into a conversation rests on. */
type Caused = Pick<Delivery, 'id' | 'payload'> & Partial<Pick<Delivery, 'idempotencyKey' | 'createdAt'>>;

const gone: Sent = { ok: false, why: 'the conversation is not there any more', retry: false };

/**
 * Delivers a message into its conversation: into the thread once, under the id of its outbox entry, and by the channel
 * where the caregiver can be written to. Where it cannot, the next message brings it.
 */
export function caregiver({ conversations, clock, channels }: CaregiverDeps) {
  return async ({ id, payload }: Caused): Promise<Sent> => {
    const read = caregiverMessageSchema.safeParse(payload);
    if (!read.success) return { ok: false, why: 'the stored message cannot be read', retry: false };
    const { conversationId, text, lineId = outboxLineId(id) } = read.data;
    const conversation = await conversations.load(conversationId);
    if (!conversation || conversation.state === 'deleted') return gone;
    if (!read.data.lineId)
      await conversations.note(conversationId, [{ id: lineId, from: 'service', text }], clock().toISOString());
    const writeTo = channels[conversation.channel];
    if (!writeTo || conversation.channelAddress === null) return { ok: true };
    const line = (await conversations.thread(conversationId, 0)).find((one) => one.id === lineId);
    return writeTo(conversation.channelAddress, { text, reply: line?.reply ?? null, id: lineId });
  };
}

export type DeliverToCaregiver = ReturnType<typeof caregiver>;

/** The line of the thread that a message of the outbox becomes. */
export const outboxLineId = (outboxId: string): string => `${OUTBOX_LINE}${outboxId}`;
