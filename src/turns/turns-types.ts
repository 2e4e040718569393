import type { PhotoReading } from '#dialogs/label-photo.ts';
import type { NewPhoto } from '#src/store/photos.ts';
import type { RenderedReply } from './rendered-reply.ts';

export type Channel = 'direct-line' | 'bot-framework' | 'terminal' | 'sms';

/** A photo, or several of one message: what was read, and the photos without their metadata. */
export interface SentPhoto {
  readonly reading: PhotoReading;
  readonly pictures: readonly Pick<NewPhoto, 'picture' | 'thumbnail' | 'fields'>[];
}

/** One thing a caregiver sent. The same `activityId` of a conversation is done once, however often it arrives. */
export interface IncomingMessage {
  readonly conversationId: string;
  readonly activityId: string;
  readonly channel: Channel;
  readonly text: string;
  /** The conversation was opened for this message, and the greeting goes out beside its answer. */
  readonly withGreeting?: boolean;
  /** Ids of ticked choices, where the channel has buttons; the words in `text` are for people. */
  readonly choiceIds?: readonly string[];
  /** Kept with the case once there is consent; the words in `text` are its name. */
  readonly photo?: SentPhoto;
  /** BCP 47 language the channel suggests; used only for the first turn. */
  readonly language?: string;
  /** How the channel writes to the caregiver out of turn; kept as it is, for the channel alone to read. */
  readonly channelAddress?: string;
  /** The channel sends what the outbox gives it; the reply of the turn is only looked at. */
  readonly repliesByOutbox?: true;
  /** The event of the link or poster; used only for the first turn. */
  readonly eventId?: string;
}

export interface TurnResult {
  readonly reply: RenderedReply;
  /** Id of the bot's activity in the thread; stable when a delivery is repeated. */
  readonly replyId: string;
  readonly replayed: boolean;
}

export interface Turns {
  /** Opens a conversation: the greeting, before anything was said. Opening an open one gives its last reply. */
  open(start: Omit<IncomingMessage, 'text' | 'activityId' | 'choiceIds' | 'withGreeting'>): Promise<TurnResult>;
  /** Answers one message: load, step, commit, reply. Nothing is answered before it is durable. */
  handle(message: IncomingMessage): Promise<TurnResult>;
}
