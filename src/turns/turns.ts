import { startsOver } from '#dialogs/another-car.ts';
import { begin, besidePerson, type Step, step } from '#dialogs/conversation.ts';
import type { Ears } from '#dialogs/ears.ts';
import type { EventTimes } from '#dialogs/event-times.ts';
import { labelledChild } from '#dialogs/label-photo.ts';
import { goOnFrom } from '#dialogs/rescue.ts';
import { readSnapshot } from '#dialogs/snapshot.ts';
import { LANGUAGES, type Language } from '#dialogs/understanding/types.ts';
import { withGreeting } from '#dialogs/with-greeting.ts';
import type { Case } from '#shared/case.ts';
import type { Clock } from '#src/clock.ts';
import type { ReadTimes } from '#src/events/event-times.ts';
import type { CaseStore } from '#src/store/cases.ts';
import { MOST_PHOTOS, type PhotoStore } from '#src/store/photos.ts';
import type { ConversationState, ConversationStore, Effect, StoredConversation, TurnCommit } from '#src/store/store.ts';
import type { Voice } from '#src/words/voice.ts';
import { tellCaregiver } from './caregiver-message.ts';
import { choicesInWords } from './choice-labels.ts';
import { isAttended } from './person-lines.ts';
import type { Remind } from './reminding.ts';
import type { RenderedReply } from './rendered-reply.ts';
import { summaryOf } from './summary.ts';
import type { IncomingMessage, TurnResult, Turns } from './turns-types.ts';

export interface TurnDeps {
  readonly conversations: ConversationStore;
  /** What the desk has of a conversation whose own snapshot cannot be read. */
  readonly cases?: Pick<CaseStore, 'referencesOf' | 'byReference'>;
  /** How many photos a family has sent; absent: photos are read and not kept. */
  readonly photos?: Pick<PhotoStore, 'count'>;
  /** Hears of a snapshot that could not be used, and of how many answers were kept all the same. */
  readonly onDamaged?: (what: { readonly reason: 'corrupt' | 'newer'; readonly kept: number }) => void;
  readonly voice: Voice;
  readonly ears: Ears;
  readonly clock: Clock;
  /** A fresh code by which family and technician name a case; never guessable from another. */
  readonly newReference: () => string;
  /** A fresh id for an activity of the bot. */
  readonly newId: () => string;
  /** The times that an event has to give, and the hash of a family's link to its calendar file; absent: no event gives times. */
  readonly eventTimes?: { readonly read: ReadTimes; readonly linkHash?: (conversationId: string) => string };
  /** What a family that sent its summary is reminded of, as long as its data are kept. */
  readonly remind?: Remind;
}

/** A turn that finds its conversation moved on, or its time taken, starts over from the new state; this often at most. */
const TRIES = 8;

/** Thrown when a conversation is so busy that a turn never got its place; the channel answers "try again". */
export class ConversationBusyError extends Error {
  override readonly name = 'ConversationBusyError';
  constructor() {
    super('the conversation moved on while this message was being read, too many times');
  }
}

type Opening = Parameters<Turns['open']>[0];

/** A channel's language tag as one of ours: exact, or by its base language. */
export function ourLanguage(tag: string | undefined): Language | null {
  if (!tag) return null;
  // CLDR writes Tagalog as Filipino, and phones and canonical tags follow it.
  const lower = tag.toLowerCase().replace(/^fil\b/, 'tl');
  const exact = LANGUAGES.find((ours) => ours.toLowerCase() === lower);
  return exact ?? LANGUAGES.find((ours) => ours.split('-')[0]?.toLowerCase() === lower.split('-')[0]) ?? null;
}

/** While a time is chosen, the summary is sent already. */
const STATE: Readonly<Record<string, ConversationState>> = {
  sent: 'sent',
  booking: 'sent',
  withPerson: 'person',
  deleted: 'deleted',
};

export function createTurns({
  conversations,
  cases,
  photos,
  onDamaged,
  voice,
  ears,
  clock,
  newReference,
  newId,
  eventTimes,
  remind,
}: TurnDeps): Turns {
  const today = (): string => clock().toISOString().slice(0, 10);

  const start = ({ language, eventId }: Opening): Step => {
    const ours = ourLanguage(language);
    return begin({
      language: ours ?? 'en',
      languageKnown: ours !== null,
      eventId: eventId ?? null,
      reference: newReference(),
      today: today(),
    });
  };

  const bookingOf = ({ booking }: Step, conversationId: string): Pick<TurnCommit, 'booking'> => {
    if (!booking) return booking === null ? { booking } : {};
    return { booking: { ...booking, linkHash: eventTimes?.linkHash?.(conversationId) ?? null } };
  };

  function commitOf(
    opening: Opening,
    before: StoredConversation | null,
    after: Step,
    reply: RenderedReply,
    incoming: TurnCommit['incoming'],
  ): TurnCommit {
    const { snapshot } = after;
    const at = clock().toISOString();
    const state = STATE[snapshot.value] ?? 'talking';
    const visible = state !== 'deleted' && (snapshot.context.consented || state === 'person');
    const summary = visible ? summaryOf(after, { channel: opening.channel, createdAt: at }) : null;
    const version = before?.version ?? 0;
    const changed = before === null || before.state !== state;
    const { reference } = snapshot.context;
    const key = `${reference}:${version + 1}`;
    const effects: Effect[] = [];
    // From a person it comes back as it was sent before.
    if (state === 'sent' && changed && before?.state !== 'person')
      effects.push({ kind: 'summary', idempotencyKey: key, payload: summary, reference });
    // An emergency is told again to whoever is not at the desk just then.
    const emergency = after.reply.say.some(({ key }) => key === 'say.emergency');
    if (state === 'person' && (changed || emergency))
      effects.push({ kind: 'person-wanted', idempotencyKey: key, payload: summary, reference });
    const sentNow = state === 'sent' && changed;
    const reminders =
      sentNow && remind
        ? remind({
            conversationId: opening.conversationId,
            reference,
            language: snapshot.context.language,
            judged: after,
            asked: false,
          })
        : undefined;
    const replyId = newId();
    const text = reply.say.join('\n\n');
    // Deleted, a conversation has no outbox, and no address to write to.
    if (opening.repliesByOutbox && state !== 'deleted' && text !== '')
      effects.push(tellCaregiver({ conversationId: opening.conversationId, text, lineId: replyId }, replyId));
    return {
      conversationId: opening.conversationId,
      channel: opening.channel,
      eventId: snapshot.context.eventId,
      language: snapshot.context.language,
      state,
      expectedVersion: version,
      snapshot,
      incoming,
      reply,
      replyId,
      summary,
      earlier: snapshot.context.earlier.map(({ reference }) => reference),
      effects,
      ...bookingOf(after, opening.conversationId),
      ...(reminders && { reminders }),
      ...(opening.channelAddress !== undefined && { channelAddress: opening.channelAddress }),
      at,
    };
  }

  /** The photos of a message that are kept: with consent, and as far as there is room. */
  function photosOf({ photo }: IncomingMessage, before: StoredConversation, after: Step, room: number) {
    const { context } = after.snapshot;
    const read = readSnapshot(before.snapshot);
    if (read.ok && startsOver(read.snapshot.context, context)) return { startsOver: true };
    if (!photo || room <= 0 || !context.consented) return {};
    const childId = read.ok ? labelledChild(read.snapshot, photo.reading) : null;
    return { photos: photo.pictures.slice(0, room).map((picture) => ({ ...picture, id: newId(), childId })) };
  }

  /** The cases of a conversation as the desk has them. One that cannot be read is there all the same. */
  async function casesOf(conversationId: string) {
    const known: { reference: string; minutes: number; case: Case | null }[] = [];
    for (const reference of (await cases?.referencesOf(conversationId)) ?? []) {
      const found = await cases?.byReference(reference);
      const summary = found?.state === 'found' ? found.summary : null;
      known.push({ reference, minutes: summary?.assessment.visit.minutes ?? 0, case: summary?.case ?? null });
    }
    return known;
  }

  /** A snapshot that cannot be used costs what cannot be read of it, never the thread. */
  async function rescue(message: IncomingMessage, stored: StoredConversation): Promise<Step> {
    const read = readSnapshot(stored.snapshot);
    const known = await casesOf(stored.id);
    const last = known.at(-1);
    const opening = {
      language: ourLanguage(stored.language) ?? 'en',
      languageKnown: true,
      eventId: stored.eventId,
      reference: last?.reference ?? newReference(),
      today: today(),
    };
    const said = { text: message.text, choiceIds: message.choiceIds ?? [] };
    const rescued = goOnFrom(stored.snapshot, said, ears, {
      start: opening,
      cases: known.map(({ reference, minutes }) => ({ reference, minutes })),
      lastCase: last?.case ?? null,
      withPerson: stored.state === 'person',
    });
    onDamaged?.({ reason: read.ok ? 'corrupt' : read.reason, kept: rescued.kept });
    return rescued.step;
  }

  /** Where the message leads; null where the stored snapshot cannot be used. */
  function stepFrom(
    message: IncomingMessage,
    stored: StoredConversation,
    shown: RenderedReply | null,
    times: EventTimes | null,
    room: number,
  ): Step | null {
    if (stored.state === 'deleted') return start(message);
    const read = readSnapshot(stored.snapshot);
    if (!read.ok) return null;
    const choiceIds = message.choiceIds?.length ? message.choiceIds : choicesInWords(message.text, shown);
    const photo = message.photo && {
      photo: message.photo.reading,
      photosFull: message.photo.pictures.length > room,
    };
    return step(read.snapshot, { text: message.text, choiceIds, ...photo }, today(), ears, times);
  }

  const open = async (opening: Opening): Promise<TurnResult> => {
    const existing = await conversations.lastReply(opening.conversationId);
    if (existing) return { ...existing, replayed: true };
    const first = start(opening);
    const reply = voice.render(first.snapshot.context.language, first.reply);
    const commit = commitOf(opening, null, first, reply, null);
    if ((await conversations.commit(commit)) === 'committed')
      return { reply, replyId: commit.replyId, replayed: false };
    const other = await conversations.lastReply(opening.conversationId);
    if (!other) throw new ConversationBusyError();
    return { ...other, replayed: true };
  };

  const handle = async (message: IncomingMessage): Promise<TurnResult> => {
    for (let tries = 0; tries < TRIES; tries++) {
      const done = await conversations.replyTo(message.conversationId, message.activityId);
      if (done) return { ...done, replayed: true };
      const stored = await conversations.load(message.conversationId);
      if (!stored) {
        await open(message);
        continue;
      }
      const shown = await conversations.lastReply(message.conversationId);
      const { eventId } = stored;
      const times = eventTimes && eventId !== null ? await eventTimes.read(stored.id, eventId) : null;
      const room = message.photo && photos ? MOST_PHOTOS - (await photos.count(stored.id)) : 0;
      const heard = stepFrom(message, stored, shown?.reply ?? null, times, room) ?? (await rescue(message, stored));
      const attended = stored.state === 'person' && isAttended(await conversations.thread(message.conversationId, 0));
      const answered = message.withGreeting ? withGreeting(heard) : heard;
      const next = attended ? besidePerson(answered) : answered;
      // The greeting is the answer, and a message that is delivered again is answered with it again.
      const greeted = message.withGreeting === true && next.reply.say.length === 0 ? shown : null;
      const reply = greeted?.reply ?? voice.render(next.snapshot.context.language, next.reply);
      const incoming = { activityId: message.activityId, text: message.text };
      const commit = { ...commitOf(message, stored, next, reply, incoming), ...photosOf(message, stored, next, room) };
      if ((await conversations.commit(commit)) === 'committed')
        return { reply, replyId: commit.replyId, replayed: false };
    }
    throw new ConversationBusyError();
  };

  return { open, handle };
}
