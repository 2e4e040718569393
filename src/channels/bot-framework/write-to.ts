import type { Activity, ConversationReference } from 'botbuilder';
import type { AppRegistration } from '#src/config-channels.ts';
import type { WriteTo } from '#src/handoff/caregiver.ts';
import type { Sent } from '#src/handoff/destination.ts';
import type { Logger } from '#src/log.ts';
import type { PicturesOf } from '#src/pictures/attachments.ts';
import type { Adapter } from './adapter.ts';
import { isLoopbackUrl } from './loopback.ts';

export interface Proactive {
  /** Posts an activity into a conversation that is known by its reference. */
  post(reference: Partial<ConversationReference>, activity: Partial<Activity>): Promise<Sent>;
}

/** What the connector service says no to for good: it has no such conversation, or does not let us write there. */
const FOR_GOOD: readonly number[] = [400, 403, 404, 405, 410, 413];

function refusal(error: unknown): Sent {
  const { statusCode, code } = error as { statusCode?: number; code?: string };
  const retry = !FOR_GOOD.includes(statusCode ?? 0);
  return { ok: false, why: statusCode ? `answered ${statusCode}` : (code ?? 'not reached'), retry };
}

/** Writes into Bot Framework conversations out of turn. The SDK is loaded with the first message. */
export function createProactive(app: AppRegistration | null, log: Logger): Proactive {
  let adapter: Promise<Adapter> | null = null;
  return {
    async post(reference, activity) {
      // Without a registration we speak to this machine only, whatever was stored.
      if (!app && !isLoopbackUrl(reference.serviceUrl ?? '')) return { ok: false, why: 'no app id', retry: false };
      adapter ??= import('./adapter.ts').then(({ createAdapter }) => createAdapter(app, log, () => ''));
      try {
        let failed: unknown = null;
        const speaker = await adapter;
        await speaker.continueConversationAsync(app?.appId ?? '', reference, async (context) => {
          // It answers nothing: the event that the SDK makes up is none of the channel's.
          (context.activity as Partial<Activity>).id = undefined;
          // Thrown from here, it would be answered with an apology to the family.
          await context.sendActivity(activity).catch((error: unknown) => {
            failed = error;
          });
        });
        return failed ? refusal(failed) : { ok: true };
      } catch (error) {
        return refusal(error);
      }
    },
  };
}

/** Writes to a caregiver on a Bot Framework channel. */
export function botFrameworkWriteTo(proactive: Proactive, pictures: PicturesOf): WriteTo {
  return async (channelAddress, { text, reply }) => {
    const [{ readChannelAddress }, { messageActivity }] = await Promise.all([
      import('#src/bot/conversation-reference.ts'),
      import('#src/bot/message-activity.ts'),
    ]);
    const reference = readChannelAddress(channelAddress);
    if (!reference) return { ok: false, why: 'the stored address cannot be read', retry: false };
    const activity = reply ? messageActivity(reply, pictures(reply)) : { type: 'message', text, textFormat: 'plain' };
    return proactive.post(reference, activity);
  };
}
