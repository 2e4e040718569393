import { randomUUID } from 'node:crypto';
import { z } from 'zod';
import { cleanText, MAX_TEXT_LENGTH } from '#src/channels/clean-text.ts';
import { replyText } from '#src/channels/reply-text.ts';
import type { ThreadEntry } from '#src/store/store.ts';
import type { RenderedReply } from '#src/turns/rendered-reply.ts';
import type { SentPhoto } from '#src/turns/turns-types.ts';

const clientId = z
  .string()
  .min(1)
  .max(128)
  .regex(/^[\x21-\x7e]+$/);
const choiceIds = z.array(z.string().max(64)).max(64);

/** The part of a client's activity that matters here; what else it carries is let pass. */
const activitySchema = z.looseObject({
  type: z.string({ error: 'must be the kind of activity, such as "message"' }).max(64),
  id: z.string().max(256).nullish(),
  text: z.string({ error: 'must be text' }).nullish(),
  locale: z.string().max(64).nullish(),
  value: z.unknown().optional(),
  channelData: z
    .looseObject({ clientActivityID: z.string().max(256).nullish() })
    .nullish()
    .catch(null),
});

export interface ClientMessage {
  /** Stable for one client's message, however often it is delivered. */
  readonly activityId: string;
  readonly text: string;
  readonly choiceIds?: readonly string[];
  readonly photo?: SentPhoto;
}

export type ReadActivity =
  | { readonly kind: 'message'; readonly activityId: string; readonly message: ClientMessage }
  /** Taken note of; nothing to answer. */
  | { readonly kind: 'noted'; readonly activityId: string }
  | { readonly kind: 'refused'; readonly status: 400 | 408 | 413; readonly code: string; readonly message: string };

const refused = (status: 400 | 413, code: string, message: string): ReadActivity => ({
  kind: 'refused',
  status,
  code,
  message,
});

/** Reads one activity of a client; what is wrong with it is said in the refusal. */
export function readActivity(body: unknown): ReadActivity {
  const parsed = activitySchema.safeParse(body);
  if (!parsed.success) {
    const issue = parsed.error.issues[0];
    const where = issue?.path.join('.') || 'activity';
    return refused(400, 'BadArgument', `${where}: ${issue?.message ?? 'malformed'}`);
  }
  const activity = parsed.data;
  const activityId = messageId(activity.channelData?.clientActivityID ?? activity.id);
  if (['typing', 'event', 'conversationUpdate', 'messageReaction', 'endOfConversation'].includes(activity.type)) {
    return { kind: 'noted', activityId };
  }
  if (activity.type !== 'message') {
    return refused(400, 'BadArgument', `type: activities of type "${activity.type.slice(0, 40)}" are not taken here`);
  }
  const ids = choiceIds.safeParse(fieldOf(activity.value, 'choiceIds') ?? fieldOf(activity.channelData, 'choiceIds'));
  const text = activity.text ?? (typeof activity.value === 'string' ? activity.value : '');
  if (text.length > MAX_TEXT_LENGTH) {
    return refused(413, 'MessageSizeTooBig', `text: a message may have at most ${MAX_TEXT_LENGTH} characters`);
  }
  return {
    kind: 'message',
    activityId,
    message: { activityId, text: cleanText(text), ...(ids.success && { choiceIds: ids.data }) },
  };
}

// The prefix keeps a client from choosing the id of one of the bot's lines.
const FROM_CLIENT = 'c:';

function messageId(given: string | null | undefined): string {
  return clientId.safeParse(given).success ? `${FROM_CLIENT}${given}` : `s:${randomUUID()}`;
}

function fieldOf(value: unknown, name: string): unknown {
  return typeof value === 'object' && value !== null ? (value as Record<string, unknown>)[name] : undefined;
}

export interface OutgoingContext {
  readonly conversationId: string;
  /** The user id the token carries, so that a client recognises its own lines. */
  readonly user: string | null;
}

/** An activity as Direct Line clients read it. */
export type OutgoingActivity = Readonly<Record<string, unknown>>;

/** One line of the thread as an activity. */
export function toActivity(entry: ThreadEntry, { conversationId, user }: OutgoingContext): OutgoingActivity {
  const common = {
    type: 'message',
    id: entry.id,
    timestamp: entry.at,
    channelId: 'directline',
    conversation: { id: conversationId },
  };
  if (entry.from === 'caregiver') {
    const sent = entry.id.startsWith(FROM_CLIENT) ? { channelData: { clientActivityID: entry.id.slice(2) } } : {};
    return { ...common, from: { id: user ?? 'user', role: 'user' }, text: entry.text, ...sent };
  }
  if (entry.reply === null) {
    return {
      ...common,
      from: { id: entry.from === 'technician' ? 'technician' : 'lapwing', role: 'bot' },
      text: entry.text,
      channelData: { lapwing: { from: entry.from } },
    };
  }
  return {
    ...common,
    from: { id: 'lapwing', role: 'bot' },
    ...(entry.replyTo && { replyToId: entry.replyTo }),
    ...replyContent(entry.reply),
  };
}

/** The bot's words, quick replies and the reply itself for clients that know it. */
export function replyContent(reply: RenderedReply): OutgoingActivity {
  return {
    text: replyText(reply),
    textFormat: 'plain',
    locale: reply.language,
    inputHint: reply.done ? 'acceptingInput' : 'expectingInput',
    ...(reply.choices.length > 0 && {
      suggestedActions: {
        to: [],
        actions: reply.choices.map(({ text }) => ({ type: 'imBack', title: text, value: text })),
      },
    }),
    channelData: { lapwing: { from: 'bot', ...reply } },
  };
}
