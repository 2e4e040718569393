import { createSignals } from '#src/store/backend.ts';
import type { ConversationStore, StoredConversation, ThreadEntry } from '#src/store/store.ts';
import type { RenderedReply } from '#src/turns/rendered-reply.ts';
import type { IncomingMessage, TurnResult, Turns } from '#src/turns/turns-types.ts';

export type Answer = (message: IncomingMessage, turn: number) => Partial<RenderedReply>;

const AT = '2026-05-16T09:00:00.000Z';

/** A conversation service in memory, for tests of what stands around it; `answer` decides what is said. */
export function fakeConversations(answer: Answer = echo) {
  const threads = new Map<string, ThreadEntry[]>();
  const conversations = new Map<string, StoredConversation>();
  const goodbyes = new Map<string, { replyId: string; reply: RenderedReply }>();
  const handled: IncomingMessage[] = [];
  const { emit, listen } = createSignals();

  function add(conversationId: string, entry: Omit<ThreadEntry, 'seq' | 'at'>): void {
    const thread = threads.get(conversationId) ?? [];
    threads.set(conversationId, [...thread, { ...entry, seq: thread.length + 1, at: AT }]);
  }

  function say(
    start: Omit<IncomingMessage, 'text' | 'activityId'>,
    reply: RenderedReply,
    replyTo: string | null,
  ): TurnResult {
    const replyId = `bot:${threads.get(start.conversationId)?.length ?? 0}`;
    add(start.conversationId, { id: replyId, from: 'bot', text: reply.say.join('\n\n'), reply, replyTo });
    conversations.set(start.conversationId, {
      id: start.conversationId,
      channel: start.channel,
      eventId: start.eventId ?? null,
      language: reply.language,
      state: 'talking',
      version: threads.get(start.conversationId)?.length ?? 0,
      snapshot: {},
      channelAddress: start.channelAddress ?? null,
      createdAt: AT,
      updatedAt: AT,
    });
    emit(start.conversationId);
    return { reply, replyId, replayed: false };
  }

  const full = (language: string, reply: Partial<RenderedReply>): RenderedReply => ({
    say: [],
    choices: [],
    many: false,
    asking: 'weight',
    told: [],
    done: false,
    language,
    ...reply,
  });

  function lastReply(conversationId: string): { replyId: string; reply: RenderedReply } | null {
    const last = threads.get(conversationId)?.findLast((entry) => entry.from === 'bot');
    if (last?.reply) return { replyId: last.id, reply: last.reply };
    return goodbyes.get(conversationId) ?? null;
  }

  function replyTo(conversationId: string, activityId: string) {
    const entry = threads.get(conversationId)?.find((line) => line.replyTo === activityId);
    return entry?.reply ? { replyId: entry.id, reply: entry.reply } : null;
  }

  const turns: Turns = {
    async open(start) {
      const open = lastReply(start.conversationId);
      if (open) return { ...open, replayed: true };
      return say(start, full(start.language ?? 'en', answer({ ...start, activityId: '', text: '' }, 0)), null);
    },
    async handle(message) {
      const done = replyTo(message.conversationId, message.activityId);
      if (done) return { ...done, replayed: true };
      handled.push(message);
      const language = conversations.get(message.conversationId)?.language ?? 'en';
      const reply = full(language, answer(message, handled.length));
      add(message.conversationId, {
        id: message.activityId,
        from: 'caregiver',
        text: message.text,
        reply: null,
        replyTo: null,
      });
      const result = say(message, reply, message.activityId);
      if (message.text === 'delete everything') {
        threads.delete(message.conversationId);
        conversations.delete(message.conversationId);
        goodbyes.set(message.conversationId, result);
      }
      return result;
    },
  };

  const store: ConversationStore = {
    load: async (id) => conversations.get(id) ?? null,
    replyTo: async (id, activityId) => replyTo(id, activityId),
    lastReply: async (id) => lastReply(id),
    commit: async () => 'committed',
    watch: listen,
    note: async (id, lines) => {
      const known = new Set(threads.get(id)?.map((line) => line.id));
      for (const line of lines.filter((one) => !known.has(one.id))) add(id, { ...line, reply: null, replyTo: null });
      emit(id);
    },
    thread: async (id, watermark) => (threads.get(id) ?? []).filter((entry) => entry.seq > watermark),
  };

  return {
    turns,
    store,
    /** The messages that were answered anew, in order. */
    handled,
    /** Adds a technician's line, as the desk would. */
    technicianWrites: (conversationId: string, text: string) => {
      add(conversationId, { id: `tech:${text.length}`, from: 'technician', text, reply: null, replyTo: null });
      emit(conversationId);
    },
  };
}

export type FakeConversations = ReturnType<typeof fakeConversations>;

function echo(message: IncomingMessage): Partial<RenderedReply> {
  if (message.activityId === '') return { say: ['Hello.', 'How heavy is the child?'] };
  return { say: [`You wrote: ${message.text}`, 'What else?'] };
}
