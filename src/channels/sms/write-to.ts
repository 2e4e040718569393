import { z } from 'zod';
import { numberedLines } from '#src/channels/plain-text/numbered-lines.ts';
import { textMessages } from '#src/channels/plain-text/text-messages.ts';
import type { SmsConfig } from '#src/config-channels.ts';
import type { OutOfTurn, WriteTo } from '#src/handoff/caregiver.ts';
import type { Sent } from '#src/handoff/destination.ts';
import type { OptOutStore } from '#src/store/opt-outs.ts';
import type { RenderedReply } from '#src/turns/rendered-reply.ts';
import type { ConversationIds } from './conversation-ids.ts';

const TIMEOUT_MS = 20_000;
const LONGEST_WAIT_MS = 60 * 60 * 1000;

/** The telephone numbers of a conversation: the caregiver's, and ours that it writes to. */
const addressSchema = z.object({ caregiver: z.string(), ours: z.string() });

export const smsAddress = (from: string, to: string): string => JSON.stringify({ caregiver: from, ours: to });

/** What is sent for a line: messages of one part each, or of two joined ones in scripts beyond the GSM alphabet. */
export const partsOf = (text: string, reply: RenderedReply | null): readonly string[] =>
  textMessages(reply ? numberedLines(reply) : text.split(/\n+/));

export interface SmsWriting {
  readonly config: SmsConfig;
  readonly ids: ConversationIds;
  readonly optOuts: Pick<OptOutStore, 'has'>;
}

/** Sends text messages by the vendor's form-encoded API, the parts of a line one after the other. */
export function smsWriteTo({ config, ids, optOuts }: SmsWriting): WriteTo {
  /** How many parts of a line were taken, so that a second try goes on after them. */
  const taken = new Map<string, number>();
  const { apiUrl, account, token } = config;
  const address = `${apiUrl}/Accounts/${encodeURIComponent(account)}/Messages.json`;
  const authorization = `Basic ${Buffer.from(`${account}:${token}`).toString('base64')}`;

  async function post(to: string, from: string, body: string): Promise<Sent> {
    try {
      const answer = await fetch(address, {
        method: 'POST',
        redirect: 'manual',
        signal: AbortSignal.timeout(TIMEOUT_MS),
        headers: { Authorization: authorization, 'User-Agent': 'Lapwing' },
        body: new URLSearchParams({ To: to, From: from, Body: body }),
      });
      await answer.body?.cancel();
      if (answer.ok) return { ok: true };
      const { status } = answer;
      // A number that cannot be written to stays so; a wrong token is put right by the operator.
      const retry = ![400, 403, 404, 410].includes(status);
      const seconds = Number(answer.headers.get('retry-after'));
      const afterMs = seconds > 0 ? Math.min(seconds * 1000, LONGEST_WAIT_MS) : 0;
      return { ok: false, why: `answered ${status}`, retry, afterMs };
    } catch (error) {
      return {
        ok: false,
        why: (error as Error).name === 'TimeoutError' ? 'no answer in time' : 'not reached',
        retry: true,
      };
    }
  }

  async function send(caregiver: string, ours: string, { text, reply, id }: OutOfTurn): Promise<Sent> {
    const parts = partsOf(text, reply);
    for (let part = taken.get(id) ?? 0; part < parts.length; part++) {
      const sent = await post(caregiver, ours, parts[part] ?? '');
      if (!sent.ok) {
        if (sent.retry) taken.set(id, part);
        else taken.delete(id);
        return sent;
      }
    }
    taken.delete(id);
    return { ok: true };
  }

  return async (channelAddress, said) => {
    let address: z.infer<typeof addressSchema>;
    try {
      address = addressSchema.parse(JSON.parse(channelAddress));
    } catch {
      return { ok: false, why: 'the stored address cannot be read', retry: false };
    }
    if (await optOuts.has(ids(address.caregiver, address.ours)))
      return { ok: false, why: 'stopped by the caregiver', retry: false };
    return send(address.caregiver, address.ours, said);
  };
}
