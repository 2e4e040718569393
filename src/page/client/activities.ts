import type { RenderedReply } from '#src/turns/rendered-reply.ts';

/** One line of the thread as the page shows it. */
export interface Line {
  readonly id: string;
  readonly from: 'you' | 'bot' | 'technician' | 'service';
  readonly say: readonly string[];
  readonly language: string | null;
  /** The bot's whole reply; null on every other line. */
  readonly reply: RenderedReply | null;
}

export interface Activity {
  readonly id: string;
  readonly text?: string;
  readonly from?: { readonly role?: string };
  readonly channelData?: { readonly lapwing?: { readonly from: string; readonly language?: string } };
}

/** What the server says of a conversation after an answer or a look. */
export interface ActivitySet {
  readonly activities: readonly Activity[];
  readonly watermark: string;
}

export function toLine(activity: Activity): Line {
  const text = [activity.text ?? ''];
  if (activity.from?.role === 'user') return { id: activity.id, from: 'you', say: text, language: null, reply: null };
  const ours = activity.channelData?.lapwing;
  if (ours?.from === 'bot') {
    const reply = ours as unknown as RenderedReply;
    return { id: activity.id, from: 'bot', say: reply.say, language: reply.language, reply };
  }
  const from = ours?.from === 'technician' ? 'technician' : 'service';
  return { id: activity.id, from, say: text, language: ours?.language ?? null, reply: null };
}

/** The lines with those of a set added once each, in order. */
export function withActivities(lines: readonly Line[], activities: readonly Activity[]): readonly Line[] {
  const known = new Set(lines.map((line) => line.id));
  return [...lines, ...activities.filter((activity) => !known.has(activity.id)).map(toLine)];
}
