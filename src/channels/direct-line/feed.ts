import type { ConversationStore } from '#src/store/store.ts';
import { type OutgoingActivity, type OutgoingContext, replyContent, toActivity } from './activities.ts';

export interface ActivitySet {
  readonly activities: readonly OutgoingActivity[];
  readonly watermark: string;
}

/** What a conversation's clients have not seen yet. */
export interface Feed {
  /** Activities after `watermark` (null: from the beginning); null when there is no such conversation. */
  read(context: OutgoingContext, watermark: string | null): Promise<ActivitySet | null>;
}

/** The watermark of a conversation that was deleted at the caregiver's wish. */
const END = 'end';

export function isWatermark(text: string): boolean {
  return text === END || /^\d{1,9}$/.test(text);
}

export function createFeed(store: ConversationStore): Feed {
  const read: Feed['read'] = async (context, watermark) => {
    const { conversationId } = context;
    // After a deletion the thread may begin anew under the same id.
    const entries = await store.thread(conversationId, watermark === END ? 0 : Number(watermark ?? 0));
    const last = entries.at(-1);
    if (last) return { activities: entries.map((entry) => toActivity(entry, context)), watermark: String(last.seq) };
    if (watermark === END) return { activities: [], watermark };
    const conversation = await store.load(conversationId);
    if (conversation && conversation.state !== 'deleted') return { activities: [], watermark: watermark ?? '0' };
    // Deleted: only the goodbye is left, so it is given in place of the thread.
    const goodbye = await store.lastReply(conversationId);
    if (!goodbye) return null;
    const activity = {
      type: 'message',
      id: goodbye.replyId,
      channelId: 'directline',
      conversation: { id: conversationId },
      from: { id: 'lapwing', role: 'bot' },
      ...replyContent(goodbye.reply),
    };
    return { activities: [activity], watermark: END };
  };
  return { read };
}
