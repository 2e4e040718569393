import { handedBack, type Step, takenOver } from '#dialogs/conversation.ts';
import { readSnapshot, type Snapshot } from '#dialogs/snapshot.ts';
import type { Clock } from '#src/clock.ts';
import type { Effect, Store, StoredConversation } from '#src/store/store.ts';
import type { Voice } from '#src/words/voice.ts';
import { tellCaregiver } from './caregiver-message.ts';
import { summaryOf } from './summary.ts';

export interface PersonTurnDeps {
  readonly store: Pick<Store, 'conversations' | 'alone'>;
  readonly voice: Voice;
  readonly clock: Clock;
  readonly newId: () => string;
}

/** What a technician does in a conversation. `gone`: it was deleted meanwhile; nothing was written. */
export interface PersonTurns {
  /** Adds the line, once for each id, and takes the conversation over where the bot still has it. */
  write(conversationId: string, line: { readonly id: string; readonly text: string }): Promise<'written' | 'gone'>;
  /** The bot goes on with its questions. `not-held`: it has the conversation already. */
  handBack(conversationId: string): Promise<'handed-back' | 'not-held' | 'gone'>;
}

export function createPersonTurns({ store, voice, clock, newId }: PersonTurnDeps): PersonTurns {
  const { conversations, alone } = store;

  /** So that a line is sent at once where the channel can; elsewhere the feed shows it, or the next answer brings it. */
  const sending = (
    { id, channelAddress }: StoredConversation,
    line: { id: string; text: string },
  ): readonly Effect[] =>
    channelAddress === null || line.text === ''
      ? []
      : [tellCaregiver({ conversationId: id, text: line.text, lineId: line.id }, line.id)];

  /** Commits a step that no message began. Nobody is notified: a technician did it. */
  async function put(stored: StoredConversation, { snapshot, ...step }: Step): Promise<void> {
    const { context } = snapshot;
    const at = clock().toISOString();
    const state =
      snapshot.value === 'withPerson' ? 'person' : ['sent', 'booking'].includes(snapshot.value) ? 'sent' : 'talking';
    const visible = context.consented || state === 'person';
    const reply = voice.render(context.language, step.reply);
    const replyId = newId();
    const committed = await conversations.commit({
      conversationId: stored.id,
      channel: stored.channel,
      eventId: context.eventId,
      language: context.language,
      state,
      expectedVersion: stored.version,
      snapshot,
      incoming: null,
      reply,
      replyId,
      summary: visible ? summaryOf({ snapshot, ...step }, { channel: stored.channel, createdAt: at }) : null,
      earlier: context.earlier.map(({ reference }) => reference),
      effects: sending(stored, { id: replyId, text: reply.say.join('\n\n') }),
      at,
    });
    // Turns of a conversation run alone, so only a writer outside of them can have been faster.
    if (committed === 'stale') throw new Error('the conversation moved on while a technician wrote');
  }

  const snapshotIn = ({ snapshot }: StoredConversation): Snapshot | null => {
    const read = readSnapshot(snapshot);
    return read.ok ? read.snapshot : null;
  };
  const today = (): string => clock().toISOString().slice(0, 10);

  return {
    write: (conversationId, { id, text }) =>
      alone(conversationId, async () => {
        const stored = await conversations.load(conversationId);
        if (!stored || stored.state === 'deleted') return 'gone';
        const before = stored.state === 'person' ? null : snapshotIn(stored);
        const known = await conversations.thread(conversationId, 0);
        if (known.some((line) => line.id === id)) return 'written';
        if (before) await put(stored, takenOver(before, today()));
        await conversations.note(
          conversationId,
          [{ id, from: 'technician', text }],
          clock().toISOString(),
          sending(stored, { id, text }),
        );
        return 'written';
      }),

    handBack: (conversationId) =>
      alone(conversationId, async () => {
        const stored = await conversations.load(conversationId);
        if (!stored || stored.state === 'deleted') return 'gone';
        const before = snapshotIn(stored);
        if (stored.state !== 'person' || !before) return 'not-held';
        await put(stored, handedBack(before, today()));
        return 'handed-back';
      }),
  };
}
