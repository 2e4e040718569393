import type { AddressInfo } from 'node:net';
import restify, { type Server } from 'restify';
import { registerBotFramework } from '#src/channels/bot-framework/routes.ts';
import { createFeed } from '#src/channels/direct-line/feed.ts';
import { registerDirectLine } from '#src/channels/direct-line/routes.ts';
import { serveStreams } from '#src/channels/direct-line/stream.ts';
import { createTokens } from '#src/channels/direct-line/tokens.ts';
import { createPhotoGate } from '#src/channels/photo-gate.ts';
import { createRemotePhotos, type MediaSource } from '#src/channels/remote-photos.ts';
import { conversationIds } from '#src/channels/sms/conversation-ids.ts';
import { smsMedia } from '#src/channels/sms/media.ts';
import { registerSms } from '#src/channels/sms/routes.ts';
import type { Clock } from '#src/clock.ts';
import type { Config } from '#src/config.ts';
import type { SmsConfig } from '#src/config-channels.ts';
import { hideErrors } from '#src/http/errors.ts';
import { countOutbox, createMetrics } from '#src/http/metrics.ts';
import { registerOperations } from '#src/http/operations.ts';
import { logRequests } from '#src/http/request-log.ts';
import { registerSchemas } from '#src/http/schemas.ts';
import { securityHeaders } from '#src/http/security-headers.ts';
import type { PhotoReader } from '#src/label-photo/photo-reader.ts';
import type { Logger } from '#src/log.ts';
import { bestLanguage } from '#src/page/best-language.ts';
import type { Bundle } from '#src/page/bundle.ts';
import type { Greeting } from '#src/page/greeting.ts';
import { loadPageWords, type PageWords } from '#src/page/page-words.ts';
import { errorPages, type PageDeps, registerPage } from '#src/page/routes.ts';
import { createPictures } from '#src/pictures/attachments.ts';
import { illustrated } from '#src/pictures/illustrated-feed.ts';
import { loadPictureWords } from '#src/pictures/picture-words.ts';
import { registerPictures } from '#src/pictures/routes.ts';
import { blockListOf } from '#src/protection/client-address.ts';
import { knowingOldKeys } from '#src/protection/old-keys.ts';
import { messageLimits, rateLimits } from '#src/protection/rate-limits.ts';
import { deriveKey } from '#src/secret-key.ts';
import type { OptOutStore } from '#src/store/opt-outs.ts';
import type { OutboxStore } from '#src/store/outbox.ts';
import type { ConversationStore } from '#src/store/store.ts';
import type { Turns } from '#src/turns/turns-types.ts';
import type { Words } from '#src/words/words.ts';

/** What text messages need beside the conversations. */
export interface SmsServing {
  readonly config: SmsConfig;
  readonly outbox: Pick<OutboxStore, 'add'>;
  readonly optOuts: OptOutStore;
  readonly words: Words;
  /** Whether a message tells of an emergency. */
  readonly emergency: (text: string) => boolean;
}

export interface ServerDeps {
  readonly config: Pick<
    Config,
    'publicUrl' | 'directLineSecret' | 'app' | 'secretKeysOld' | 'trustedProxies' | 'rateLimits' | 'mediaOrigins'
  >;
  readonly masterSecret: string;
  readonly clock: Clock;
  readonly log: Logger;
  readonly turns: Turns;
  readonly conversations: ConversationStore;
  readonly outboxCounts: OutboxStore['counts'];
  readonly readPhoto?: PhotoReader['read'];
  /** Rejects when the store cannot be reached. */
  readonly ping: () => Promise<void>;
  readonly bundle: Bundle;
  /** Text messages; null: not set. */
  readonly sms: SmsServing | null;
  /** What the page begins with before its conversation is open; absent: it waits. */
  readonly greeting?: Greeting;
  readonly claimWalkIn?: PageDeps['claimWalkIn'];
  /** Mounts the desk's pages; gives the way to end what they hold open, if anything. */
  readonly registerDesk: (server: Server) => { close(): void } | undefined;
}

export interface LapwingServer {
  /** Does not listen yet; its `server` is Node's. */
  readonly restify: Server;
  /** Takes no more work, lets what is under way end, and closes. */
  stop(): Promise<void>;
}

/** Puts the channels, the pages and the operator's addresses on one server. */
export function createServer(deps: ServerDeps): LapwingServer {
  const { config, clock, log, conversations } = deps;
  const server = restify.createServer({ name: '', log: log as never, ignoreTrailingSlash: true });
  const metrics = createMetrics();
  countOutbox(metrics, deps.outboxCounts);
  const turns = metrics.counted(deps.turns);
  const words = loadPageWords();
  const wordsIn = (language: string) => words.get(bestLanguage([...words.keys()], [language])) as PageWords;
  const tokensUnder = (secret: string) => createTokens(deriveKey(secret, 'direct-line'), clock);
  const tokens = knowingOldKeys(tokensUnder(deps.masterSecret), config.secretKeysOld.map(tokensUnder));
  const base = () => config.publicUrl ?? `http://localhost:${(server.address() as AddressInfo).port}`;
  const pictures = createPictures({ words: loadPictureWords(), base });
  const feed = illustrated(createFeed(conversations), pictures);
  const streams = serveStreams(server.server, { feed, tokens, log, watch: conversations.watch });
  let draining = false;
  const gate = createPhotoGate();
  const photosFrom = (source: MediaSource) =>
    deps.readPhoto && { photos: createRemotePhotos(source, deps.readPhoto, gate) };

  server.pre(securityHeaders(config.publicUrl?.startsWith('https:') ?? false));
  logRequests(server, log, metrics);
  hideErrors(server, log, errorPages(words, deps.bundle));
  registerOperations(server, { metrics, ping: deps.ping, draining: () => draining });
  registerSchemas(server);
  registerPictures(server);
  registerDirectLine(server, {
    turns,
    store: conversations,
    feed,
    tokens,
    log,
    clock,
    secret: config.directLineSecret,
    publicUrl: config.publicUrl,
    filesLater: (language) => wordsIn(language).filesLater,
    gate,
    ...(deps.readPhoto && { readPhoto: deps.readPhoto }),
  });
  // After the headers for other origins, so that their pages too can read a refusal.
  server.pre(rateLimits({ limits: config.rateLimits, proxies: blockListOf(config.trustedProxies), clock, log }));
  const channelWords = {
    filesLater: (language: string) => wordsIn(language).filesLater,
    tooLong: (language: string) => wordsIn(language).tooLong,
  };
  if (deps.sms)
    registerSms(server, {
      ...deps.sms,
      publicUrl: config.publicUrl,
      turns,
      conversations,
      ids: conversationIds(deps.masterSecret, config.secretKeysOld),
      say: channelWords,
      limits: messageLimits(config.rateLimits, clock),
      clock,
      ...photosFrom(smsMedia(deps.sms.config, config.mediaOrigins)),
    });
  registerBotFramework(server, {
    turns,
    conversations,
    app: config.app,
    log,
    pictures,
    words: channelWords,
    limits: messageLimits(config.rateLimits, clock),
    ...photosFrom({ origins: config.mediaOrigins }),
    apology: (language) => wordsIn(language ?? 'en').failedPage,
  });
  registerPage(server, {
    turns,
    feed,
    tokens,
    words,
    bundle: deps.bundle,
    greeting: deps.greeting ?? (() => null),
    ...(deps.claimWalkIn && { claimWalkIn: deps.claimWalkIn }),
  });
  const desk = deps.registerDesk(server);

  return {
    restify: server,
    stop: () => {
      draining = true;
      streams.close();
      desk?.close();
      return new Promise((resolve) => {
        server.close(() => resolve());
        server.server.closeIdleConnections();
      });
    },
  };
}
