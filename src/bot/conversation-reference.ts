import type { Activity, ConversationReference } from 'botbuilder';
import { z } from 'zod';

const account = z.object({ id: z.string() });

/** As much of a Bot Framework conversation reference as writing out of turn needs; no names. */
const referenceSchema = z.object({
  channelId: z.string(),
  serviceUrl: z.url({ protocol: /^https?$/ }),
  conversation: z.object({
    id: z.string(),
    isGroup: z.boolean().optional(),
    conversationType: z.string().optional(),
    tenantId: z.string().optional(),
  }),
  bot: account,
  user: account.optional(),
  locale: z.string().optional(),
});

/** The channel address of a conversation; undefined where its replies are given in the answer and nowhere else. */
export function channelAddressOf(activity: Activity): string | undefined {
  const { channelId, serviceUrl, conversation, recipient: bot, from: user, locale, deliveryMode } = activity;
  if (deliveryMode === 'expectReplies') return undefined;
  const read = referenceSchema.safeParse({
    channelId,
    serviceUrl,
    conversation,
    bot,
    user,
    locale: locale ?? undefined,
  });
  return read.success ? JSON.stringify(read.data) : undefined;
}

/** Reads what `channelAddressOf` has made; null for anything else. */
export function readChannelAddress(text: string): Partial<ConversationReference> | null {
  try {
    return (referenceSchema.safeParse(JSON.parse(text)).data as Partial<ConversationReference> | undefined) ?? null;
  } catch {
    return null;
  }
}
