import type { RenderedReply } from '#src/turns/rendered-reply.ts';

export interface Picture {
  readonly source: string;
  /** What it shows, in words. */
  readonly text: string;
}

/** One line of the thread as the page shows it. */
export interface Line {
  readonly id: string;
  readonly from: 'you' | 'bot' | 'technician' | 'service';
  readonly say: readonly string[];
  readonly language: string | null;
  /** The bot's whole reply; null on every other line. */
  readonly reply: RenderedReply | null;
  readonly pictures: readonly Picture[];
}

export interface Activity {
  readonly id: string;
  readonly text?: string;
  readonly attachments?: readonly {
    readonly contentType: string;
    readonly contentUrl: string;
    readonly name?: string;
  }[];
  readonly from?: { readonly role?: string };
  readonly channelData?: { readonly lapwing?: { readonly from: string; readonly language?: string } };
}

/** What the server says of a conversation after an answer or a look. */
export interface ActivitySet {
  readonly activities: readonly Activity[];
  readonly watermark: string;
}

/** Pictures are taken from the page's own server, by whatever name it was reached. */
const picturesOf = ({ attachments = [] }: Activity): readonly Picture[] =>
  attachments
    .filter(({ contentType }) => contentType.startsWith('image/'))
    .map(({ contentUrl, name }) => ({ source: new URL(contentUrl).pathname, text: name ?? '' }));

export const botLine = (id: string, reply: RenderedReply, pictures: readonly Picture[]): Line => ({
  id,
  from: 'bot',
  say: reply.say,
  language: reply.language,
  reply,
  pictures,
});

export function toLine(activity: Activity): Line {
  const ours = activity.channelData?.lapwing;
  if (ours?.from === 'bot') return botLine(activity.id, ours as unknown as RenderedReply, picturesOf(activity));
  const other = ours?.from === 'technician' ? 'technician' : 'service';
  return {
    id: activity.id,
    from: activity.from?.role === 'user' ? 'you' : other,
    say: [activity.text ?? ''],
    language: ours?.language ?? null,
    reply: null,
    pictures: [],
  };
}

/** The lines with those of a set added once each, in order. */
export function withActivities(lines: readonly Line[], activities: readonly Activity[]): readonly Line[] {
  const known = new Set(lines.map((line) => line.id));
  return [...lines, ...activities.filter((activity) => !known.has(activity.id)).map(toLine)];
}
