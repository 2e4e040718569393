import { expect, it } from 'vitest';
import { conversationIdOf } from '#src/bot/lapwing-bot.ts';
import { replyText } from '#src/channels/reply-text.ts';
import { createFieldCipher } from '#src/protection/field-cipher.ts';
import type { ConversationStore, ThreadEntry } from '#src/store/store.ts';
import { chance as chanceOf } from '../families/chance.ts';
import { DATABASES, openOn } from '../store/places.ts';
import { shuffledArrivals } from './rig/deliveries.ts';
import { type Family, openFamily } from './rig/family.ts';
import { LIMIT_MS, LONG, tell } from './rig/long.ts';
import { type Network, pause } from './rig/network.ts';
import { makeScene } from './rig/scene.ts';

const TOTAL = LONG ? 10_000 : 120;
const FAMILIES = LONG ? 200 : 6;
const MESSAGES = LONG ? 20 : 8;
const AT_ONCE = 32;
/** After so many tries, ten seconds at least, a message is as good as lost. */
const MOST_TRIES = 500;
const KEY = 'a key that all instances of this test share';
const TEXTS = [
  'yes',
  '1',
  '3 years',
  '30 lb',
  '38 inches',
  'unsure',
  'booster',
  'back',
  '2014 van',
  'California',
  'why?',
];

/** A family on one of the two channels: how it sends a message, and what its answers were. */
interface Sender {
  readonly conversationId: string;
  /** Answers by message; each must be the same however often it came. */
  readonly answers: Map<number, Set<string>>;
  readonly direct: Family | null;
  send(message: number, text: string): Promise<string | null>;
}

const answersOf = <T extends { readonly type: string; readonly text?: string }>(activities: readonly T[]) =>
  activities.filter(({ type, text }) => type === 'message' && text);

async function onDirectLine(network: Network): Promise<Sender> {
  const direct = await openFamily(network);
  const { conversationId, token } = direct;
  return {
    conversationId,
    direct,
    answers: new Map(),
    async send(message, text) {
      const channelData = { clientActivityID: `m${message}` };
      const answer = await network.ask(`/v3/directline/conversations/${conversationId}/activities`, {
        method: 'POST',
        headers: { Authorization: `Bearer ${token}`, Prefer: 'return=representation' },
        body: JSON.stringify({ type: 'message', from: { id: 'u' }, text, channelData }),
      });
      if (answer?.status !== 200) return null;
      const { id, activities } = answer.body as { id: string; activities: { replyToId?: string; text: string }[] };
      return activities.find(({ replyToId }) => replyToId === id)?.text ?? '';
    },
  };
}

function onBotFramework(network: Network, name: string): Sender {
  const conversation = { id: name, isGroup: false, conversationType: 'personal', name };
  return {
    conversationId: conversationIdOf({ channelId: 'test', conversation }),
    direct: null,
    answers: new Map(),
    async send(message, text) {
      const answer = await network.ask('/api/messages', {
        method: 'POST',
        body: JSON.stringify({
          type: 'message',
          id: `m${message}`,
          channelId: 'test',
          conversation,
          from: { id: 'u' },
          locale: 'en',
          deliveryMode: 'expectReplies',
          text,
        }),
      });
      if (answer?.status !== 200) return null;
      const { activities } = answer.body as { activities: { type: string; text?: string }[] };
      return answersOf(activities).at(-1)?.text ?? '';
    },
  };
}

/** What is wrong with the record of a family's messages. */
function wrongIn(
  { conversationId, answers }: Sender,
  thread: readonly ThreadEntry[],
  texts: readonly string[],
): string[] {
  const wrong: string[] = [];
  for (const [message, text] of texts.entries()) {
    const at = thread.flatMap(({ id }, i) => (id === `c:m${message}` ? [i] : []));
    if (at.length !== 1) wrong.push(`${conversationId}: m${message} stands ${at.length} times in the record`);
    const [line, reply] = thread.slice(at[0], (at[0] ?? 0) + 2);
    if (line?.text !== text) wrong.push(`${conversationId}: m${message} has other words`);
    if (reply?.replyTo !== `c:m${message}`) wrong.push(`${conversationId}: m${message} is not followed by its answer`);
    if (answers.get(message)?.size !== 1) wrong.push(`${conversationId}: m${message} has more than one answer`);
  }
  const heard = thread.filter(({ from }) => from === 'caregiver').length;
  if (heard !== texts.length) wrong.push(`${conversationId}: ${heard} messages heard`);
  return wrong;
}

/** What a family said so far, in the order in which it was heard. */
async function takeUp(family: Family, thread: ConversationStore['thread']): Promise<void> {
  const lines = await thread(family.conversationId, 0);
  for (const [i, { from, id, text }] of lines.entries()) {
    const next = lines[i + 1];
    const answer = next?.reply ? { id: next.id, text: replyText(next.reply) } : null;
    if (from === 'caregiver') family.said.push({ id: id.slice(2), text, answer });
  }
  family.reply = lines.at(-1)?.reply ?? family.reply;
}

it.each(DATABASES)(
  'messages that arrive repeated, out of order and all at once are done once each on %s',
  async (database, aPlace) => {
    const place = await aPlace();
    const scene = await makeScene('deliveries', {
      seed: 20260520,
      instances: place.databaseUrl ? 2 : 1,
      settings: {
        LAPWING_SECRET_KEY: KEY,
        ...(place.databaseUrl ? { LAPWING_DATABASE_URL: place.databaseUrl } : { LAPWING_DATA_DIR: place.dataDir }),
      },
    });
    const { faults, network } = scene;
    await scene.startAll();
    const senders = await Promise.all(
      Array.from({ length: FAMILIES }, (_, i) =>
        i % 2 ? onDirectLine(network) : onBotFramework(network, `family ${i}`),
      ),
    );
    const words = chanceOf(7);
    const texts = senders.map(() => Array.from({ length: MESSAGES }, () => words.oneOf(TEXTS)));
    const arrivals = shuffledArrivals(faults, FAMILIES, MESSAGES, TOTAL).values();
    let refused = 0;
    const deliver = async () => {
      for (const { family, message } of arrivals) {
        const sender = senders[family] as Sender;
        const text = texts[family]?.[message] ?? '';
        // What is refused for now comes again, as channels do.
        let answer = await sender.send(message, text);
        for (let tries = 0; answer === null && tries < MOST_TRIES; tries++) {
          await pause();
          answer = await sender.send(message, text);
        }
        if (answer === null) refused++;
        else sender.answers.set(message, (sender.answers.get(message) ?? new Set()).add(answer));
      }
    };
    await Promise.all(Array.from({ length: AT_ONCE }, deliver));
    const store = await openOn(place, () => new Date(), createFieldCipher(KEY, []));
    const wrong: string[] = [];
    for (const [i, sender] of senders.entries())
      wrong.push(...wrongIn(sender, await store.conversations.thread(sender.conversationId, 0), texts[i] ?? []));
    // Nobody is stuck: each gets a further answer, and those whose questions we can read are led to their summary.
    let further = 0;
    for (const sender of senders) if (await sender.send(MESSAGES, 'thank you')) further++;
    const directly = senders.flatMap(({ direct }) => direct ?? []);
    for (const family of directly) await takeUp(family, store.conversations.thread);
    const outcome = await scene.check(directly);
    const problems = [...wrong, ...outcome.problems];
    const counted = { messages: FAMILIES * MESSAGES, families: FAMILIES, further };
    tell('deliveries repeated, reordered and at once', {
      database,
      arrivals: TOTAL,
      ...counted,
      ...network.traffic,
      ...outcome,
      problems,
    });
    expect(problems).toEqual([]);
    expect({ refused, further }).toEqual({ refused: 0, further: FAMILIES });
    expect(network.traffic.lost).toBe(0);
    expect(Object.keys(network.traffic.refused).filter((status) => !['403', '503'].includes(status))).toEqual([]);
    expect(outcome.summaries).toBeGreaterThan(0);
  },
  LIMIT_MS,
);
