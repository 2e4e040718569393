import type { Kysely } from 'kysely';
import type { Channel } from '#src/turns/turns-types.ts';
import type { Role } from './accounts.ts';
import type { ArrivalState } from './arrival-lines.ts';
import type { AuditAction } from './audit.ts';
import type { Destination, OutboxState } from './outbox.ts';
import type { ConversationState, Effect, ThreadEntry } from './store.ts';

/** Text and whole numbers only, so that both databases hold the same. Instants are ISO 8601 in UTC; flags are 0 or 1. */
type Flag = 0 | 1;

interface ConversationTable {
  id: string;
  channel: Channel;
  event_id: string | null;
  language: string;
  state: ConversationState;
  version: number;
  /** The highest `seq` given out in the thread. */
  last_seq: number;
  /** JSON. */
  snapshot: string | null;
  /** JSON of the channel's own: how the caregiver is written to out of turn. */
  channel_address: string | null;
  created_at: string;
  updated_at: string;
}

interface ThreadTable {
  conversation_id: string;
  seq: number;
  id: string;
  sender: ThreadEntry['from'];
  text: string;
  /** JSON. */
  reply: string | null;
  reply_to: string | null;
  at: string;
}

/** One row for every caregiver's activity done: the thread line that answered it. */
interface ActivityTable {
  conversation_id: string;
  activity_id: string;
  reply_seq: number;
}

interface CaseTable {
  reference: string;
  conversation_id: string;
  event_id: string | null;
  /** 0 before travel, 1 early, 2 routine. */
  priority: number;
  language: string;
  minutes: number;
  complete: Flag;
  person: Flag;
  urgent_count: number;
  visit_count: number;
  verify_count: number;
  /** JSON: what the list says of each child. */
  children: string;
  /** JSON: the pre-visit summary. */
  summary: string;
  /** JSON: what reports count; null in a row from before they were there. */
  rides: string | null;
  /** JSON: what reports count of its visit, and of which state of the record; null before a report asked. */
  visit_seen: string | null;
  /** What a family is found by, folded (`case-search.ts`). */
  search_text: string;
  created_at: string;
  updated_at: string;
}

interface EventTable {
  id: string;
  name: string;
  place: string;
  time_zone: string;
  /** Calendar date, YYYY-MM-DD. */
  held_on: string;
  created_at: string;
  /** Opening hours; all four null where the event has no slots. */
  opens_at: string | null;
  closes_at: string | null;
  step_minutes: number | null;
  technicians: number | null;
  /** JSON: BCP 47 tags of what the team speaks. */
  languages: string;
  /** Grows with every change of the event. */
  version: number;
  /** Grows with every booking, so that bookings of one event wait for one another. */
  bookings_made: number;
}

/** Who comes to an event: families that booked, and walk-ins, who have no conversation. */
interface ArrivalTable {
  id: string;
  event_id: string;
  conversation_id: string | null;
  /** Null: comes, or waits, without a time. */
  starts_at: string | null;
  /** As booked; the case may need other minutes by now. */
  minutes: number;
  needed_minutes: number;
  state: ArrivalState;
  language: string;
  interpreter: Flag;
  walk_in_name: string | null;
  /** Of the private link to the family's calendar file. */
  link_hash: string | null;
  /** When it came; null before. */
  arrived_at: string | null;
  /** Who sees, or will see, the family. */
  account_id: string | null;
  created_at: string;
  updated_at: string;
}

/** Private links to technicians' calendar files, one for each account. */
interface TeamCalendarTable {
  account_id: string;
  token_hash: string;
  created_at: string;
}

interface AccountTable {
  id: string;
  name: string;
  /** The name as it is compared at sign-in. */
  name_key: string;
  role: Role;
  /** Empty where the account has no password. */
  password_hash: string;
  created_at: string;
  /** JSON: ids of the events that it sees; null for all, and for families of no event. */
  event_ids: string | null;
  disabled: Flag;
  /** Who it is at the identity provider: issuer and subject. */
  identity: string | null;
}

/** Links with which somebody chooses a password: after an invitation, or after it was reset. */
interface PasswordLinkTable {
  token_hash: string;
  account_id: string;
  expires_at: string;
}

interface FirstLinkTable {
  token_hash: string;
  expires_at: string;
}

interface SessionTable {
  token_hash: string;
  account_id: string;
  created_at: string;
  expires_at: string;
  /** Null until it is used again after it was opened. */
  used_at: string | null;
}

/** Wrong passwords in a row, by a hash of the name that was typed, or of the address they came from. */
interface GuessTable {
  key: string;
  failures: number;
  not_before: string | null;
  at: string;
}

/** A form that was sent after its session had run out. */
interface KeptFormTable {
  token_hash: string;
  account_id: string;
  path: string;
  /** URL-encoded. */
  kept_fields: string;
  expires_at: string;
}

interface AuditTable {
  id: string;
  at: string;
  account_id: string | null;
  action: AuditAction;
  subject: string | null;
}

interface OutboxTable {
  id: string;
  conversation_id: string;
  /** The case it is about; null where it is about the conversation. */
  reference: string | null;
  kind: Effect['kind'];
  /** JSON. */
  payload: string;
  idempotency_key: string;
  /** Null for an effect that is not yet spread over its destinations. */
  destination: Destination | null;
  due_at: string;
  attempts: number;
  state: OutboxState;
  /** Why the latest try failed; never what a person said. */
  last_error: string | null;
  created_at: string;
}

/** Conversations that send nothing more, at their caregiver's wish; the id is all that is known. */
interface OptOutTable {
  conversation_id: string;
  at: string;
}

/** What technicians record at a visit; rows are only ever added. */
interface VisitEntryTable {
  /** The case; its conversation may have another one, with a record of its own. */
  reference: string;
  conversation_id: string;
  seq: number;
  id: string;
  kind: 'change' | 'sign-off' | 'correction';
  account_id: string;
  at: string;
  received_at: string;
  /** JSON: what was recorded, and the name of whoever did. */
  entry: string;
}

/** Links to sheets that went home. */
interface TakeHomeLinkTable {
  token_hash: string;
  conversation_id: string;
  /** The case whose sheet it is; null where that was gone already when links got their case. */
  reference: string | null;
  created_at: string;
}

/** Photos of labels, without their metadata; deleted with the case that they belong to. */
interface LabelPhotoTable {
  id: string;
  conversation_id: string;
  /** The case; null where there was none when photos got their case. */
  reference: string | null;
  child_id: string | null;
  received_at: string;
  /** JPEG in base64, the whole and a small one. */
  photo: string;
  thumbnail: string;
  /** JSON: what was read of it. */
  photo_reading: string;
}

/** Keys under which values are sealed; without a row, nothing is. */
interface SealingKeyTable {
  key_id: string;
  /** 1 once every value has been sealed under this key, and no other key is in use. */
  everywhere: Flag;
}

export interface Tables {
  conversations: ConversationTable;
  thread: ThreadTable;
  activities: ActivityTable;
  cases: CaseTable;
  events: EventTable;
  arrivals: ArrivalTable;
  team_calendars: TeamCalendarTable;
  accounts: AccountTable;
  first_links: FirstLinkTable;
  password_links: PasswordLinkTable;
  sessions: SessionTable;
  guesses: GuessTable;
  kept_forms: KeptFormTable;
  audit: AuditTable;
  outbox: OutboxTable;
  opt_outs: OptOutTable;
  visit_entries: VisitEntryTable;
  take_home_links: TakeHomeLinkTable;
  label_photos: LabelPhotoTable;
  sealing_keys: SealingKeyTable;
}

export type Database = Kysely<Tables>;
