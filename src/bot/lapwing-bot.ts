import { createHash, randomUUID } from 'node:crypto';
import { type Activity, ActivityHandler, EventFactory, HandoffEventNames, type TurnContext } from 'botbuilder';
import { readSnapshot } from '#dialogs/snapshot.ts';
import { cleanText, MAX_TEXT_LENGTH } from '#src/channels/clean-text.ts';
import { languageTag } from '#src/channels/opening.ts';
import type { RemotePhotos } from '#src/channels/remote-photos.ts';
import type { PicturesOf } from '#src/pictures/attachments.ts';
import type { ConversationStore } from '#src/store/store.ts';
import { handoffState } from '#src/turns/person-handoff.ts';
import { unheardLines } from '#src/turns/person-lines.ts';
import type { RenderedReply } from '#src/turns/rendered-reply.ts';
import type { Turns } from '#src/turns/turns-types.ts';
import { channelAddressOf } from './conversation-reference.ts';
import { messageActivity } from './message-activity.ts';

/** What the channel itself has to say, in the language asked for. */
export interface BotWords {
  filesLater(language: string): string;
  tooLong(language: string): string;
}

export interface BotDeps {
  readonly turns: Turns;
  readonly conversations: Pick<ConversationStore, 'load' | 'thread' | 'replyTo'>;
  readonly words: BotWords;
  readonly pictures: PicturesOf;
  /** Fetches and reads the pictures of a message; absent: they are not read. */
  readonly photos?: RemotePhotos;
}

/** One of our conversations for each of a channel's: both ids go in, and what comes out fits any address. */
export function conversationIdOf({ channelId, conversation }: Pick<Activity, 'channelId' | 'conversation'>): string {
  const both = JSON.stringify([channelId, conversation.id]);
  return `bf-${createHash('sha256').update(both).digest('base64url').slice(0, 32)}`;
}

/** The Bot Framework's side of a turn: activities in, activities out; all else is done by `turns`. */
export function createBot({ turns, conversations, words, pictures, photos }: BotDeps): ActivityHandler {
  const bot = new ActivityHandler();
  const toMessage = (reply: RenderedReply): Partial<Activity> => messageActivity(reply, pictures(reply));

  const startOf = ({ activity }: TurnContext) => {
    const language = languageTag(activity.locale);
    const channel = 'bot-framework' as const;
    const channelAddress = channelAddressOf(activity);
    return {
      conversationId: conversationIdOf(activity),
      channel,
      ...(language && { language }),
      ...(channelAddress && { channelAddress }),
    };
  };

  bot.onMembersAdded(async (context, next) => {
    const { membersAdded = [], recipient } = context.activity;
    if (membersAdded.some(({ id }) => id !== recipient?.id)) {
      const { reply } = await turns.open(startOf(context));
      await context.sendActivity(toMessage(reply));
    }
    await next();
  });

  bot.onMessage(async (context, next) => {
    const { activity } = context;
    const start = startOf(context);
    const known = await conversations.load(start.conversationId);
    const language = known?.language ?? start.language ?? 'en';
    const text = cleanText(activity.text ?? '');
    if (text.length > MAX_TEXT_LENGTH) {
      await context.sendActivity(words.tooLong(language));
      return next();
    }
    // Not every channel tells that somebody joined.
    const opening = known ? null : (await turns.open(start)).reply;
    if (opening) await context.sendActivity(toMessage(opening));
    if ((activity.attachments ?? []).some(isFile)) {
      const activityId = `p:${activity.id ?? randomUUID()}`;
      const photo = await photoOf(activity, start.conversationId, activityId);
      if (photo) {
        const { reply } = await turns.handle({ ...start, activityId, text: '📎', ...photo });
        if (reply.say.length > 0) await context.sendActivity(toMessage(reply));
      } else await context.sendActivity(words.filesLater(language));
    }
    if (text.trim() === '' && (activity.attachments ?? []).length > 0) return next();
    const choiceIds = choiceIdsOf(activity.value);
    const { reply, replyId } = await turns.handle({
      ...start,
      activityId: activity.id ? `c:${activity.id}` : `s:${randomUUID()}`,
      text,
      withGreeting: !known,
      ...(choiceIds && { choiceIds }),
    });
    // Where nobody can be written to out of turn, this answer brings what was said meanwhile.
    const waiting = known?.channelAddress === null ? await conversations.thread(start.conversationId, 0) : [];
    for (const line of unheardLines(waiting, replyId)) await context.sendActivity(line.text);
    // Silent while a person has the conversation, and where the greeting was the answer.
    const greeted = opening !== null && opening.say.join() === reply.say.join();
    if (reply.say.length > 0 && !greeted) await context.sendActivity(toMessage(reply));
    // Whoever is still asked something has no person yet.
    if (known?.state !== 'person' && reply.asking === null) await tellHandoff(context, start.conversationId);
    await next();
  });

  /** The pictures of a message, fetched and read once; null where they cannot be. */
  async function photoOf({ attachments = [] }: Activity, conversationId: string, activityId: string) {
    if (await conversations.replyTo(conversationId, activityId)) return {};
    const urls = attachments.filter(isPicture).flatMap(({ contentUrl }) => contentUrl ?? []);
    const photo = await photos?.(urls);
    return photo ? { photo } : null;
  }

  /** Tells the channel, once, that a person is wanted: its agents find the family by the summary's reference. */
  async function tellHandoff(context: TurnContext, conversationId: string): Promise<void> {
    const stored = await conversations.load(conversationId);
    const read = stored?.state === 'person' ? readSnapshot(stored.snapshot) : null;
    if (!read?.ok) return;
    const { reference } = read.snapshot.context;
    await context.sendActivity(EventFactory.createHandoffInitiation(context, { reference }));
  }

  // Accepted or failed, the desk still has the family; completed, the bot goes on with its questions.
  bot.onEvent(async (context, next) => {
    const { activity } = context;
    const start = startOf(context);
    const completed = activity.name === HandoffEventNames.HandoffStatus && handoffState(activity.value) === 'completed';
    if (completed && (await conversations.load(start.conversationId))?.state === 'person') {
      const activityId = `h:${activity.id ?? randomUUID()}`;
      const { reply } = await turns.handle({ ...start, activityId, text: '', choiceIds: ['continue'] });
      await context.sendActivity(toMessage(reply));
    }
    await next();
  });

  return bot;
}

// Some channels send the message a second time as a rich-text attachment; that is no file.
const isFile = ({ contentType }: { contentType?: string }) => contentType !== 'text/html';

const isPicture = ({ contentType }: { contentType?: string }) => /^image\//.test(contentType ?? '');

function choiceIdsOf(value: unknown): string[] | null {
  const ids = (value as { choiceIds?: unknown } | null | undefined)?.choiceIds;
  return Array.isArray(ids) && ids.length <= 64 && ids.every((id) => typeof id === 'string') ? ids : null;
}
