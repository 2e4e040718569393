import type { AddressInfo } from 'node:net';
import type { Config } from '#src/config.ts';
import { createLog } from '#src/log.ts';
import { type Bundle, bundlePage } from '#src/page/bundle.ts';
import { createServer, type ServerDeps } from '#src/server.ts';
import { type FakeConversations, fakeConversations } from './fake-conversations.ts';

let bundle: Promise<Bundle> | null = null;

export interface RunningServer {
  readonly url: string;
  readonly conversations: FakeConversations;
  /** The log's lines so far. */
  readonly logLines: string[];
  stop(): Promise<void>;
}

export interface StartOptions {
  readonly conversations?: FakeConversations;
  readonly config?: Partial<Config>;
  readonly clock?: () => Date;
  readonly ping?: () => Promise<void>;
  readonly sms?: ServerDeps['sms'];
  readonly registerDesk?: ServerDeps['registerDesk'];
  readonly readPhoto?: ServerDeps['readPhoto'];
}

/** The real server on a free loopback port, with the conversation replaced by a fake. */
export async function startServer(options: StartOptions = {}): Promise<RunningServer> {
  const conversations = options.conversations ?? fakeConversations();
  const logLines: string[] = [];
  bundle ??= bundlePage();
  const server = createServer({
    config: {
      publicUrl: null,
      directLineSecret: null,
      app: null,
      secretKeysOld: [],
      trustedProxies: [],
      rateLimits: { perAddress: null, perConversation: null },
      mediaOrigins: [],
      ...options.config,
    },
    masterSecret: 'a test secret that is long enough for anyone',
    clock: options.clock ?? (() => new Date()),
    log: createLog('info', { write: (line) => logLines.push(line) }),
    turns: conversations.turns,
    conversations: conversations.store,
    outboxCounts: async () => [{ destination: 'mail', state: 'failed', count: 2 }],
    ping: options.ping ?? (async () => {}),
    bundle: await bundle,
    sms: options.sms ?? null,
    registerDesk: options.registerDesk ?? (() => {}),
    ...(options.readPhoto && { readPhoto: options.readPhoto }),
  });
  await new Promise<void>((resolve) => server.restify.listen(0, '127.0.0.1', () => resolve()));
  const { port } = server.restify.server.address() as AddressInfo;
  return { url: `http://127.0.0.1:${port}`, conversations, logLines, stop: () => server.stop() };
}
