import type { Request, Response, Server } from 'restify';
import { z } from 'zod';
import { eventId, languageTag } from '#src/channels/opening.ts';
import type { PhotoGate } from '#src/channels/photo-gate.ts';
import type { Clock } from '#src/clock.ts';
import { readJson } from '#src/http/read-body.ts';
import { queryValue, sendError, sendJson } from '#src/http/respond.ts';
import { get, type Handler, post } from '#src/http/routes.ts';
import type { PhotoReader } from '#src/label-photo/photo-reader.ts';
import type { Logger } from '#src/log.ts';
import type { ConversationStore } from '#src/store/store.ts';
import { StoreUnavailableError } from '#src/store/store-error.ts';
import type { Turns } from '#src/turns/turns-types.ts';
import { createAccess } from './access.ts';
import { type OutgoingContext, type ReadActivity, readActivity } from './activities.ts';
import { baseAddress, conversationObject, newConversationId, withStream } from './conversations.ts';
import { allowOtherOrigins } from './cors.ts';
import { type Feed, isWatermark } from './feed.ts';
import type { Tokens } from './tokens.ts';
import { readUpload } from './upload.ts';

/** 10,000 characters, each written as a JSON escape, and the activity around them. */
const MAX_ACTIVITY_BYTES = 128_000;
const ROOT = '/v3/directline';

export interface DirectLineDeps {
  readonly turns: Turns;
  readonly store: ConversationStore;
  readonly feed: Feed;
  readonly tokens: Tokens;
  readonly log: Logger;
  readonly clock: Clock;
  readonly secret: string | null;
  readonly publicUrl: string | null;
  /** What is said when a file arrives, in the conversation's language. */
  readonly filesLater: (language: string) => string;
  readonly gate: PhotoGate;
  /** Reads a photo of a label; absent: files are not read. */
  readonly readPhoto?: PhotoReader['read'];
}

const openingSchema = z.object({
  user: z
    .object({ id: z.string().min(1).max(128) })
    .nullish()
    .catch(null),
  locale: z.unknown().optional(),
  event: z.unknown().optional(),
});

/** What a client says of itself when it opens a conversation; a body of another shape says nothing. */
async function readOpening(req: Request) {
  const body = await readJson(req, MAX_ACTIVITY_BYTES);
  if (!body.ok) return body;
  const opening = openingSchema.safeParse(body.value).data;
  const language = languageTag(opening?.locale) ?? languageTag(req.headers['accept-language']?.split(/[,;]/)[0]);
  return { ok: true, user: opening?.user?.id ?? null, language, eventId: eventId(opening?.event) } as const;
}

/** The watermark asked for; null for none. */
function readWatermark(req: Request) {
  const value = queryValue(req, 'watermark') || null;
  if (value === null || isWatermark(value)) return { ok: true, value } as const;
  const message = 'watermark: must be one that this service gave.';
  return { ok: false, status: 400, code: 'BadArgument', message } as const;
}

function answer(res: Response, problem: { status: number; code: string; message: string }): void {
  sendError(res, problem.status, problem.code, problem.message);
}

/** Direct Line 3.0: https://learn.microsoft.com/azure/bot-service/rest-api/bot-framework-rest-direct-line-3-0-api-reference */
export function registerDirectLine(server: Server, deps: DirectLineDeps): void {
  const { turns, store, feed, tokens, log, clock, secret, publicUrl } = deps;
  const access = createAccess(store, tokens, secret);
  server.pre(allowOtherOrigins);

  const generateToken: Handler = async (req, res) => {
    const who = access.opener(req);
    if (!who.ok) return answer(res, who);
    if (who.kind === 'token') return sendError(res, 403, 'BadArgument', 'A token cannot make another; refresh it.');
    const opening = await readOpening(req);
    if (!opening.ok) return answer(res, opening);
    sendJson(res, 200, conversationObject(tokens, newConversationId(), opening.user));
  };

  const refreshToken: Handler = async (req, res) => {
    const who = access.opener(req);
    if (!who.ok) return answer(res, who);
    if (who.kind !== 'token') return sendError(res, 401, 'Unauthorized', 'The token to be refreshed is needed.');
    sendJson(res, 200, conversationObject(tokens, who.conversationId, who.user));
  };

  const startConversation: Handler = async (req, res) => {
    const who = access.opener(req);
    if (!who.ok) return answer(res, who);
    const opening = await readOpening(req);
    if (!opening.ok) return answer(res, opening);
    const conversationId = who.kind === 'token' ? who.conversationId : newConversationId();
    const user = (who.kind === 'token' && who.user) || opening.user;
    const existed = (await store.load(conversationId)) !== null;
    await turns.open({
      conversationId,
      channel: 'direct-line',
      ...(opening.language && { language: opening.language }),
      ...(opening.eventId && { eventId: opening.eventId }),
    });
    const base = baseAddress(req, publicUrl);
    const conversation = conversationObject(tokens, conversationId, user);
    sendJson(res, existed ? 200 : 201, withStream(conversation, tokens, { base, watermark: '0', user }));
  };

  const reconnect: Handler = async (req, res) => {
    const who = await access.conversation(req);
    if (!who.ok) return answer(res, who);
    const from = readWatermark(req);
    if (!from.ok) return answer(res, from);
    // Without a watermark only what comes from now on is streamed.
    const watermark = from.value ?? (await feed.read(who, null))?.watermark ?? '0';
    const base = baseAddress(req, publicUrl);
    const conversation = conversationObject(tokens, who.conversationId, who.user);
    sendJson(res, 200, withStream(conversation, tokens, { base, watermark, user: who.user }));
  };

  const getActivities: Handler = async (req, res) => {
    const who = await access.conversation(req);
    if (!who.ok) return answer(res, who);
    const from = readWatermark(req);
    if (!from.ok) return answer(res, from);
    sendJson(res, 200, await feed.read(who, from.value));
  };

  /** Has the message answered; on failure the answer to the client is sent and false comes back. */
  async function take(req: Request, res: Response, conversationId: string, read: ReadActivity): Promise<boolean> {
    if (read.kind === 'refused') {
      answer(res, read);
      return false;
    }
    if (read.kind === 'noted') return true;
    try {
      await turns.handle({ conversationId, channel: 'direct-line', ...read.message });
      return true;
    } catch (error) {
      if (error instanceof StoreUnavailableError) throw error;
      log.error({ requestId: req.getId(), err: error }, 'turn failed');
      answer(res, {
        status: 502,
        code: 'BotRejectedActivity',
        message: 'The message could not be answered; it is safe to send it again.',
      });
      return false;
    }
  }

  /** Gives the id of what was sent; and what came of it, to a client that prefers so. */
  async function sent(req: Request, res: Response, who: OutgoingContext, watermark: string | null, id: string) {
    // RFC 7240: the answer may come at once, which saves a slow connection one round trip.
    const inFull = /\breturn=representation\b/.test(String(req.headers.prefer ?? ''));
    if (!inFull) return sendJson(res, 200, { id });
    const set = await feed.read(who, watermark);
    sendJson(res, 200, { id, ...set }, { 'Preference-Applied': 'return=representation' });
  }

  const sendActivity: Handler = async (req, res) => {
    const who = await access.conversation(req);
    if (!who.ok) return answer(res, who);
    const from = readWatermark(req);
    if (!from.ok) return answer(res, from);
    const body = await readJson(req, MAX_ACTIVITY_BYTES);
    if (!body.ok) return answer(res, body);
    const read = readActivity(body.value);
    if (!(await take(req, res, who.conversationId, read)) || read.kind === 'refused') return;
    await sent(req, res, who, from.value, read.activityId);
  };

  async function takeUpload(req: Request, res: Response, who: OutgoingContext, watermark: string | null) {
    const { conversationId } = who;
    const read = await readUpload(req);
    if (read.kind === 'refused') return answer(res, read);
    const { activity, names, contents } = read;
    const { activityId } = activity;
    const inWords = activity.kind === 'message' && activity.message.text.trim() !== '';
    if (inWords && !(await take(req, res, conversationId, activity))) return;
    const name = names.filter(Boolean).join(', ') || '📎';
    if (deps.readPhoto && contents.length > 0) {
      const id = inWords ? `p:${activityId}` : activityId;
      // Read before the turn, so that nobody waits for it under the conversation's lock.
      const known = await store.replyTo(conversationId, id);
      const photo = known ? undefined : await deps.readPhoto(contents);
      const message = { activityId: id, text: name, ...(photo && { photo }) };
      if (!(await take(req, res, conversationId, { kind: 'message', activityId: id, message }))) return;
      return sent(req, res, who, watermark, activityId);
    }
    const language = (await store.load(conversationId))?.language ?? 'en';
    // Clients wait for their message to come back; a file without words comes back by its name.
    const echo = { id: activityId, from: 'caregiver', text: name } as const;
    const said = { id: `f:${activityId}`, from: 'service', text: deps.filesLater(language) } as const;
    await store.note(conversationId, inWords ? [said] : [echo, said], clock().toISOString());
    await sent(req, res, who, watermark, activityId);
  }

  const upload: Handler = async (req, res) => {
    const who = await access.conversation(req);
    if (!who.ok) return answer(res, who);
    const from = readWatermark(req);
    if (!from.ok) return answer(res, from);
    const taken = deps.gate.pass(() => takeUpload(req, res, who, from.value));
    if (taken) return taken;
    const message = 'Too many files are on their way; send this one again in a moment.';
    sendError(res, 503, 'ServiceUnavailable', message, { 'Retry-After': '5' });
  };

  post(server, `${ROOT}/tokens/generate`, generateToken);
  post(server, `${ROOT}/tokens/refresh`, refreshToken);
  post(server, `${ROOT}/conversations`, startConversation);
  get(server, `${ROOT}/conversations/:conversationId`, reconnect);
  get(server, `${ROOT}/conversations/:conversationId/activities`, getActivities);
  post(server, `${ROOT}/conversations/:conversationId/activities`, sendActivity);
  post(server, `${ROOT}/conversations/:conversationId/upload`, upload);
}
