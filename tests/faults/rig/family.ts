import type { RenderedReply } from '#src/turns/rendered-reply.ts';
import type { Chance } from '../../families/chance.ts';
import { type Network, pause } from './network.ts';

/** One message of a family, as the family knows it. */
export interface Said {
  readonly id: string;
  readonly text: string;
  /** The bot's answer that came with the acknowledgement; null: given up without one. */
  answer: { readonly id: string; readonly text: string } | null;
}

export interface Family {
  readonly conversationId: string;
  readonly said: Said[];
  /** The bot's latest words that reached the family. */
  reply: RenderedReply;
  token: string;
  key: string;
  watermark: string;
}

/** A line of the thread as Direct Line gives it. */
export interface Line {
  readonly id: string;
  readonly text: string;
  readonly replyToId?: string;
  readonly from: { readonly role: 'user' | 'bot' };
  readonly channelData?: {
    readonly clientActivityID?: string;
    readonly lapwing?: RenderedReply | { readonly from: string };
  };
}

interface LineSet {
  readonly activities: readonly Line[];
  readonly watermark: string;
}

type Opened = LineSet & { readonly conversationId: string; readonly token: string; readonly key: string };

export const replyOf = ({ channelData }: Line): RenderedReply | null => {
  const lapwing = channelData?.lapwing;
  return lapwing && 'asking' in lapwing ? lapwing : null;
};

const lastReply = (lines: readonly Line[]): RenderedReply | null =>
  lines.reduce<RenderedReply | null>((last, line) => replyOf(line) ?? last, null);

async function start(network: Network, key: string | null): Promise<Opened> {
  for (;;) {
    const body = JSON.stringify({ key, language: 'en' });
    const answer = await network.ask('/chat/start', { method: 'POST', body });
    if (answer?.status === 200) return answer.body as Opened;
    await pause();
  }
}

/** Opens a conversation as the caregiver's page does, however often it has to try. */
export async function openFamily(network: Network): Promise<Family> {
  const { conversationId, token, key, watermark, activities } = await start(network, null);
  const reply = lastReply(activities);
  if (!reply) throw new Error('a conversation was opened without a greeting');
  return { conversationId, said: [], reply, token, key, watermark };
}

/** Takes the conversation up again, as the page does when its token ran out. */
async function resume(network: Network, family: Family): Promise<void> {
  const opened = await start(network, family.key);
  if (opened.conversationId !== family.conversationId)
    throw new Error('a family found another conversation than its own');
  Object.assign(family, { token: opened.token, key: opened.key });
}

const addressOf = ({ conversationId, watermark }: Family): string =>
  `/v3/directline/conversations/${conversationId}/activities?watermark=${watermark}`;

/** The whole thread, in its order. */
export async function threadOf(network: Network, family: Family): Promise<readonly Line[]> {
  for (;;) {
    const answer = await network.ask(addressOf({ ...family, watermark: '' }), {
      headers: { Authorization: `Bearer ${family.token}` },
    });
    if (answer?.status === 200) return (answer.body as LineSet).activities;
    if (answer?.status === 401 || answer?.status === 403) await resume(network, family);
    else await pause();
  }
}

/**
 * Sends a message again and again until it is acknowledged. After a failure it is given up by chance (`givesUp`, a share),
 * as by somebody who writes something else instead: then nobody knows whether it was heard, and false comes back.
 */
export async function say(
  network: Network,
  family: Family,
  text: string,
  { chance, givesUp }: { readonly chance: Chance; readonly givesUp: number },
): Promise<boolean> {
  const said: Said = { id: `m${family.said.length}`, text, answer: null };
  family.said.push(said);
  const body = JSON.stringify({ type: 'message', from: { id: 'u' }, text, channelData: { clientActivityID: said.id } });
  for (;;) {
    const answer = await network.ask(addressOf(family), {
      method: 'POST',
      headers: { Authorization: `Bearer ${family.token}`, Prefer: 'return=representation' },
      body,
    });
    if (answer?.status === 200) {
      const { id, activities, watermark } = answer.body as LineSet & { readonly id: string };
      const own = activities.find(({ replyToId }) => replyToId === id);
      if (!own) throw new Error(`${said.id} was acknowledged without an answer`);
      said.answer = { id: own.id, text: own.text };
      family.reply = lastReply(activities) ?? family.reply;
      family.watermark = watermark;
      network.acknowledge();
      return true;
    }
    if (answer && answer.status >= 400 && answer.status < 500 && ![401, 403, 429].includes(answer.status))
      throw new Error(`a message was refused with ${answer.status}: ${JSON.stringify(answer.body)}`);
    if (answer?.status === 401 || answer?.status === 403) await resume(network, family);
    else if (chance.happens(givesUp)) {
      family.reply = lastReply(await threadOf(network, family)) ?? family.reply;
      return false;
    } else await pause();
  }
}
