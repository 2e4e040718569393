import { createHash } from 'node:crypto';
import { brotliCompressSync, gzipSync } from 'node:zlib';
import type { Request, Response, Server } from 'restify';
import { z } from 'zod';
import { conversationObject, newConversationId } from '#src/channels/direct-line/conversations.ts';
import type { Feed } from '#src/channels/direct-line/feed.ts';
import type { Tokens } from '#src/channels/direct-line/tokens.ts';
import { eventId, languageTag } from '#src/channels/opening.ts';
import { acceptedLanguages } from '#src/http/accept-language.ts';
import type { ErrorPage } from '#src/http/errors.ts';
import { readJson } from '#src/http/read-body.ts';
import { queryValue, sendError, sendHtml, sendJson } from '#src/http/respond.ts';
import { get, post } from '#src/http/routes.ts';
import type { Turns } from '#src/turns/turns-types.ts';
import { bestLanguage } from './best-language.ts';
import type { Bundle } from './bundle.ts';
import type { Greeting } from './greeting.ts';
import { chatPage, sentencePage } from './html.ts';
import { loadPageLanguages } from './languages.ts';
import type { PageWords } from './page-words.ts';

export interface PageDeps {
  readonly turns: Turns;
  readonly feed: Feed;
  readonly tokens: Tokens;
  readonly words: ReadonlyMap<string, PageWords>;
  readonly bundle: Bundle;
  readonly greeting: Greeting;
  /** Joins a walk-in's line of an event's board and its interview. */
  readonly claimWalkIn?: (walkInId: string, conversationId: string) => Promise<void>;
}

interface Packed {
  readonly bodies: Readonly<Record<'br' | 'gzip' | 'identity', Buffer>>;
  readonly etag: string;
  readonly policy: string;
}

/** The page asks for the words of another language when the conversation goes on in it. */
const WORDS_SECONDS = 3600;

const openingSchema = z.object({
  key: z.string().max(2000).nullish().catch(null),
  event: z.unknown().optional(),
  language: z.unknown().optional(),
  walkIn: z.uuid().nullish().catch(null),
});

function pack(html: string, policy: string): Packed {
  const identity = Buffer.from(html);
  const etag = `"${createHash('sha256').update(identity).digest('base64url').slice(0, 22)}"`;
  return { bodies: { br: brotliCompressSync(identity), gzip: gzipSync(identity), identity }, etag, policy };
}

/** Serves the caregiver's page at `/`; `/chat/start` opens a conversation for it or takes one up again. */
export function registerPage(
  server: Server,
  { turns, feed, tokens, words, bundle, greeting, claimWalkIn }: PageDeps,
): void {
  const languages = loadPageLanguages();
  const pages = new Map<string, Packed>();
  const pageIn = (language: string): Packed => {
    const made = pages.get(language);
    if (made) return made;
    const own = words.get(language) as PageWords;
    const { html, policy } = chatPage(bundle, { words: own, languages, greeting: greeting(language) }, language);
    const packed = pack(html, policy);
    pages.set(language, packed);
    return packed;
  };

  get(server, '/', async (req, res) => {
    const packed = pageIn(wantedLanguage(req, words));
    res.setHeader('Content-Security-Policy', packed.policy);
    res.setHeader('Cache-Control', 'no-cache');
    res.setHeader('ETag', packed.etag);
    res.setHeader('Vary', 'Accept-Encoding, Accept-Language');
    if ((req.headers['if-none-match'] ?? '').includes(packed.etag)) return notModified(res);
    const encoding = acceptedEncoding(req);
    const headers: Record<string, string> = encoding === 'identity' ? {} : { 'Content-Encoding': encoding };
    sendHtml(res, 200, packed.bodies[encoding], headers);
  });

  get(server, '/chat/words/:language', async (req, res) => {
    const own = words.get(String(req.params.language));
    if (!own) return sendError(res, 404, 'NotFound', 'There are no words in this language.');
    sendJson(res, 200, own, { 'Cache-Control': `public, max-age=${WORDS_SECONDS}` });
  });

  post(server, '/chat/start', async (req, res) => {
    const body = await readJson(req, 4096);
    if (!body.ok) return sendError(res, body.status, body.code, body.message);
    const asked = openingSchema.safeParse(body.value).data;
    const kept = asked?.key ? tokens.check(asked.key, 'resume') : null;
    const goesOn = kept?.ok === true && (await feed.read({ conversationId: kept.conversationId, user: null }, null));
    const conversationId = kept?.ok && goesOn ? kept.conversationId : newConversationId();
    if (!goesOn) {
      const language = languageTag(asked?.language);
      const event = eventId(asked?.event);
      await turns.open({
        conversationId,
        channel: 'direct-line',
        ...(language && { language }),
        ...(event && { eventId: event }),
      });
    }
    if (asked?.walkIn) await claimWalkIn?.(asked.walkIn, conversationId);
    sendJson(res, 200, {
      ...conversationObject(tokens, conversationId, null),
      resumed: Boolean(goesOn),
      key: tokens.issue('resume', conversationId, null),
      ...(await feed.read({ conversationId, user: null }, null)),
    });
  });
}

function notModified(res: Response): void {
  res.sendRaw(304, '');
}

/** The page for a wrong address or a failure, in the reader's language. */
export function errorPages(words: ReadonlyMap<string, PageWords>, { style }: Bundle): ErrorPage {
  return (req, status) => {
    const language = wantedLanguage(req, words);
    const own = words.get(language) as PageWords;
    const sentence = status === 404 ? own.notFound : own.failedPage;
    const { html, policy } = sentencePage(style, own, language, sentence);
    return { html, headers: { 'Content-Security-Policy': policy } };
  };
}

function wantedLanguage(req: Request, words: ReadonlyMap<string, PageWords>): string {
  const asked = queryValue(req, 'lang');
  return bestLanguage(
    [...words.keys()],
    [...(asked ? [asked] : []), ...acceptedLanguages(req.headers['accept-language'])],
  );
}

function acceptedEncoding(req: Request): 'br' | 'gzip' | 'identity' {
  const accepted = String(req.headers['accept-encoding'] ?? '');
  if (/\bbr\b/.test(accepted)) return 'br';
  return /\bgzip\b/.test(accepted) ? 'gzip' : 'identity';
}
