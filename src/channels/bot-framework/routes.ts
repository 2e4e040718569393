import type { Activity } from 'botbuilder';
import type { Server } from 'restify';
import { z } from 'zod';
import type { BotDeps } from '#src/bot/lapwing-bot.ts';
import type { AppRegistration } from '#src/config-channels.ts';
import { readJson } from '#src/http/read-body.ts';
import { sendError, sendJson } from '#src/http/respond.ts';
import { post } from '#src/http/routes.ts';
import type { Logger } from '#src/log.ts';
import { TooManyRequestsError } from '#src/protection/rate-limits.ts';
import type { TokenBuckets } from '#src/protection/token-buckets.ts';
import { StoreUnavailableError } from '#src/store/store-error.ts';
import type { Apology } from './adapter.ts';
import { isLocalRequest, isLoopbackUrl } from './loopback.ts';
import { UnauthorizedError } from './unauthorized.ts';

const MAX_ACTIVITY_BYTES = 64_000;

export interface BotFrameworkDeps extends BotDeps {
  readonly app: AppRegistration | null;
  readonly log: Logger;
  readonly apology: Apology;
  /** Limits the messages of one conversation; null: no limit. */
  readonly limits: TokenBuckets | null;
}

const account = z.looseObject({ id: z.string().min(1).max(512) });

/** What an activity must have before the SDK sees it. */
const activitySchema = z.looseObject({
  type: z.string().min(1).max(64),
  id: z.string().max(256).optional(),
  channelId: z.string().min(1).max(64),
  serviceUrl: z.url({ protocol: /^https?$/ }).optional(),
  conversation: account,
  from: account.optional(),
  recipient: account.default({ id: 'lapwing' }),
  text: z.string().nullish(),
  locale: z.string().max(64).nullish(),
  deliveryMode: z.string().max(32).nullish(),
  attachments: z.array(z.looseObject({})).nullish(),
  membersAdded: z.array(z.looseObject({ id: z.string().max(512) })).nullish(),
});

const OPEN_ONLY_HERE =
  'Without an app id (LAPWING_APP_ID) this endpoint answers only requests made on this machine, and only to service addresses on it.';

/** `/api/messages`, the Bot Framework's endpoint. */
export function registerBotFramework(server: Server, deps: BotFrameworkDeps): void {
  const { app, log } = deps;
  let endpoint: ReturnType<typeof loadEndpoint> | null = null;

  post(server, '/api/messages', async (req, res) => {
    if (!app && !isLocalRequest(req)) return sendError(res, 403, 'Forbidden', OPEN_ONLY_HERE);
    const body = await readJson(req, MAX_ACTIVITY_BYTES);
    if (!body.ok) return sendError(res, body.status, body.code, body.message);
    const parsed = activitySchema.safeParse(body.value);
    if (!parsed.success) {
      const issue = parsed.error.issues[0];
      return sendError(res, 400, 'BadArgument', `${issue?.path.join('.') || 'activity'}: ${issue?.message}`);
    }
    const { serviceUrl, deliveryMode } = parsed.data;
    // Replies given in the answer need no service address.
    if (!serviceUrl && deliveryMode !== 'expectReplies') {
      return sendError(res, 400, 'BadArgument', 'serviceUrl: needed to send the replies to');
    }
    if (!app && serviceUrl && !isLoopbackUrl(serviceUrl)) return sendError(res, 403, 'Forbidden', OPEN_ONLY_HERE);
    const activity = { ...parsed.data, serviceUrl: serviceUrl ?? 'http://localhost' } as unknown as Activity;
    try {
      endpoint ??= loadEndpoint(deps);
      const { adapter, bot, conversationIdOf } = await endpoint;
      const { authorization = '' } = req.headers;
      const answer = await adapter.answer(
        authorization,
        activity,
        async (context) => {
          // Here its token is checked: nobody else can use up the messages of a family.
          const wait = deps.limits?.take(conversationIdOf(context.activity)) ?? 0;
          if (wait > 0) throw new TooManyRequestsError(wait);
          await bot.run(context);
        },
        req.getId(),
      );
      sendJson(res, answer?.status ?? 200, answer?.body ?? {});
    } catch (error) {
      if (error instanceof StoreUnavailableError || error instanceof TooManyRequestsError) throw error;
      if (error instanceof UnauthorizedError) {
        return sendError(res, 401, 'Unauthorized', 'The token of the request is missing or not valid.');
      }
      log.error({ requestId: req.getId(), err: error }, 'activity failed');
      const message = `The activity could not be answered. If you report it, name the id ${req.getId()}.`;
      sendError(res, 502, 'BotDeliveryFailed', message);
    }
  });
}

/** The SDK is large and most services have no such channel, so it is loaded when the first activity comes. */
async function loadEndpoint(deps: BotFrameworkDeps) {
  const [{ createAdapter }, { conversationIdOf, createBot }] = await Promise.all([
    import('./adapter.ts'),
    import('#src/bot/lapwing-bot.ts'),
  ]);
  return { adapter: createAdapter(deps.app, deps.log, deps.apology), bot: createBot(deps), conversationIdOf };
}
