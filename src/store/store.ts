import type { PreVisitSummary } from '#shared/summary.ts';
import type { RenderedReply } from '#src/turns/rendered-reply.ts';
import type { Channel } from '#src/turns/turns-types.ts';
import type { AccountStore } from './accounts.ts';
import type { ArrivalStore } from './arrivals.ts';
import type { AuditStore } from './audit.ts';
import type { BoardStore } from './board.ts';
import type { Booking } from './booking.ts';
import type { CaseStore } from './cases.ts';
import type { EventStore } from './events.ts';
import type { GuessStore } from './guesses.ts';
import type { KeptFormStore } from './kept-forms.ts';
import type { OptOutStore } from './opt-outs.ts';
import type { OutboxStore } from './outbox.ts';
import type { PeopleStore } from './people.ts';
import type { NewPhoto, PhotoStore } from './photos.ts';
import type { ReportStore } from './reports.ts';
import type { Purged } from './retention.ts';
import type { SessionStore } from './sessions.ts';
import type { TeamCalendarStore } from './team-calendars.ts';
import type { VisitStore } from './visits.ts';

/** Where a conversation stands for people: still talking, sent to the technician, with a person, or deleted. */
export type ConversationState = 'talking' | 'sent' | 'person' | 'deleted';

export interface StoredConversation {
  readonly id: string;
  readonly channel: Channel;
  readonly eventId: string | null;
  readonly language: string;
  readonly state: ConversationState;
  /** Grows by one with every committed turn. */
  readonly version: number;
  /** The dialog snapshot as JSON; dialogs/snapshot.ts checks and upgrades it. Null after deletion, or when what is stored is not JSON. */
  readonly snapshot: unknown;
  /** How the channel writes to the caregiver out of turn, in a form of its own; null where it cannot, or reads a feed. */
  readonly channelAddress: string | null;
  readonly createdAt: string;
  readonly updatedAt: string;
}

/** One line of the thread. `reply` is there for the bot's lines. */
export interface ThreadEntry {
  /** Position in the thread, from 1, without gaps: the Direct Line watermark. Deletion leaves one line, under its own number. */
  readonly seq: number;
  readonly id: string;
  /** `service`: said by the service itself about a message that is no turn, such as a file. */
  readonly from: 'caregiver' | 'bot' | 'technician' | 'service';
  readonly text: string;
  readonly reply: RenderedReply | null;
  /** For the bot's lines: the id of the caregiver's activity answered; null for the greeting. */
  readonly replyTo: string | null;
  readonly at: string;
}

/** What people and systems around the family are told of. */
export type NoticeKind = 'summary' | 'person-wanted';

/** Work to be done after the commit, at least once, under its idempotency key. */
export interface Effect {
  /** `caregiver-message` goes into the conversation itself (`turns/caregiver-message.ts`). */
  readonly kind: NoticeKind | 'caregiver-message';
  readonly idempotencyKey: string;
  readonly payload: unknown;
  /** The case it is about; absent: its conversation as a whole. */
  readonly reference?: string;
  /** Not before this instant (ISO 8601); absent: at once. */
  readonly dueAt?: string;
}

/** Everything one turn changes, written in one transaction. */
export interface TurnCommit {
  readonly conversationId: string;
  readonly channel: Channel;
  readonly eventId: string | null;
  readonly language: string;
  readonly state: ConversationState;
  /** The version the turn started from; 0 for a new conversation. */
  readonly expectedVersion: number;
  readonly snapshot: unknown;
  /** Null for the greeting, which nothing precedes. */
  readonly incoming: { readonly activityId: string; readonly text: string } | null;
  readonly reply: RenderedReply;
  readonly replyId: string;
  /** The case as it stands for the desk; null before consent, and then no case row exists. */
  readonly summary: PreVisitSummary | null;
  /** References of cases finished before in this conversation, for another car: they stay beside this one. */
  readonly earlier: readonly string[];
  readonly effects: readonly Effect[];
  /** Take the place of those of this case that wait, unless its visit was signed; absent: they stay. */
  readonly reminders?: readonly Effect[];
  /** The time the family wants at its event; null: gives it back; absent: stays as it is. */
  readonly booking?: Booking | null;
  /** Photos that came with the message, kept where there is a case. */
  readonly photos?: readonly NewPhoto[];
  /** The family started over: its photos belong to what it took back. */
  readonly startsOver?: boolean;
  /** See `StoredConversation`; absent: as it was. */
  readonly channelAddress?: string;
  readonly at: string;
}

export interface ConversationStore {
  load(conversationId: string): Promise<StoredConversation | null>;
  /** The reply already given to an activity, or null if the activity is new. */
  replyTo(conversationId: string, activityId: string): Promise<{ replyId: string; reply: RenderedReply } | null>;
  lastReply(conversationId: string): Promise<{ replyId: string; reply: RenderedReply } | null>;
  /**
   * Writes a turn. `stale`: the version moved on or the activity was done meanwhile; nothing was written.
   * `slot-taken`: the time it books is not free any more; nothing was written.
   * A commit with state `deleted` removes the thread, the case and the snapshot in the same transaction,
   * and keeps only the reply so that a repeated delivery is still answered.
   */
  commit(turn: TurnCommit): Promise<'committed' | 'stale' | 'slot-taken'>;
  /**
   * Adds lines that belong to no turn. Repeated under the same id, a line is not added again;
   * where there is no conversation, or a deleted one, nothing is written. The effects are written with the first line added.
   */
  note(conversationId: string, lines: readonly PlainLine[], at: string, effects?: readonly Effect[]): Promise<void>;
  /**
   * Hears of conversations with new lines, and of events that changed (`signalledEvent`), whichever instance wrote them;
   * gives the way to stop. A call may be missed.
   */
  watch(listener: (conversationId: string) => void): () => void;
  /** Lines after `watermark` (0 for all), in order. */
  thread(conversationId: string, watermark: number): Promise<readonly ThreadEntry[]>;
}

/** A line that belongs to no turn. */
export type PlainLine = Pick<ThreadEntry, 'id' | 'text'> & { readonly from: 'caregiver' | 'service' | 'technician' };

/** Everything that is kept, on one database. */
export interface Store {
  readonly conversations: ConversationStore;
  readonly cases: CaseStore;
  readonly events: EventStore;
  readonly arrivals: ArrivalStore;
  readonly board: BoardStore;
  readonly teamCalendars: TeamCalendarStore;
  readonly accounts: AccountStore;
  readonly people: PeopleStore;
  readonly reports: ReportStore;
  readonly sessions: SessionStore;
  readonly guesses: GuessStore;
  readonly keptForms: KeptFormStore;
  readonly audit: AuditStore;
  readonly outbox: OutboxStore;
  readonly optOuts: OptOutStore;
  readonly visits: VisitStore;
  readonly photos: PhotoStore;
  /** Runs `work` while nothing else runs under the same key, on any instance that shares the database. */
  alone<T>(key: string, work: () => Promise<T>): Promise<T>;
  /** Deletes what is older than an instant (ISO 8601), conversations by their last activity. */
  purge(before: string): Promise<Purged>;
  /** Resolves when the database answers; else rejects. */
  ping(): Promise<void>;
  close(): Promise<void>;
}
