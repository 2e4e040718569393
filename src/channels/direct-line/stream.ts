import type { Server as HttpServer, IncomingMessage } from 'node:http';
import type { Duplex } from 'node:stream';
import { type WebSocket, WebSocketServer } from 'ws';
import type { Logger } from '#src/log.ts';
import type { ConversationStore } from '#src/store/store.ts';
import { type Feed, isWatermark } from './feed.ts';
import type { Tokens } from './tokens.ts';

/** Lines of which nothing was heard reach open streams within this time. */
const SWEEP_MS = 10_000;

export interface Streams {
  close(): void;
}

export interface StreamDeps {
  readonly feed: Feed;
  readonly tokens: Tokens;
  readonly log: Logger;
  readonly watch: ConversationStore['watch'];
}

interface OpenStream {
  readonly socket: WebSocket;
  readonly conversationId: string;
  readonly user: string | null;
  watermark: string;
  /** The last send begun; sends of one stream follow each other. */
  tail: Promise<void>;
}

const STREAM_PATH = /^\/v3\/directline\/conversations\/([\w-]{1,64})\/stream$/;

/** Serves the `streamUrl` of conversations over WebSocket; its pre-authorised `t` takes the place of a header. */
export function serveStreams(http: HttpServer, { feed, tokens, log, watch }: StreamDeps): Streams {
  const sockets = new WebSocketServer({ noServer: true, maxPayload: 1024 });
  const open = new Set<OpenStream>();

  async function send(stream: OpenStream): Promise<void> {
    const set = await feed.read({ conversationId: stream.conversationId, user: stream.user }, stream.watermark);
    if (!set || set.activities.length === 0 || stream.socket.readyState !== stream.socket.OPEN) return;
    stream.watermark = set.watermark;
    stream.socket.send(JSON.stringify(set));
  }

  function flush(stream: OpenStream): void {
    stream.tail = stream.tail
      .then(() => send(stream))
      .catch((error: unknown) => {
        log.error({ err: error }, 'stream failed');
        stream.socket.close(1011);
      });
  }

  function onUpgrade(req: IncomingMessage, socket: Duplex, head: Buffer): void {
    const asked = readRequest(req, tokens);
    if (!asked.ok) {
      refuse(socket, asked);
      return;
    }
    const { conversationId, user, watermark } = asked;
    sockets.handleUpgrade(req, socket, head, (webSocket) => {
      const stream: OpenStream = { socket: webSocket, conversationId, user, watermark, tail: Promise.resolve() };
      open.add(stream);
      // Clients send empty messages to see whether the line is alive; nothing they send is read.
      webSocket.on('close', () => open.delete(stream));
      webSocket.on('error', () => open.delete(stream));
      flush(stream);
    });
  }

  const sweep = setInterval(() => {
    for (const stream of open) flush(stream);
  }, SWEEP_MS);
  sweep.unref();
  http.on('upgrade', onUpgrade);

  const stopWatching = watch((conversationId) => {
    for (const stream of open) if (stream.conversationId === conversationId) flush(stream);
  });

  return {
    close() {
      stopWatching();
      clearInterval(sweep);
      http.off('upgrade', onUpgrade);
      for (const { socket } of open) socket.close(1001, 'restarting');
      sockets.close();
    },
  };
}

interface Refusal {
  readonly ok: false;
  readonly status: '403 Forbidden' | '404 Not Found';
  readonly code: string;
  readonly message: string;
}

function readRequest(req: IncomingMessage, tokens: Tokens) {
  const refusal = (status: Refusal['status'], code: string, message: string): Refusal => ({
    ok: false,
    status,
    code,
    message,
  });
  const url = new URL(req.url ?? '/', 'http://stream.invalid');
  const conversationId = STREAM_PATH.exec(url.pathname)?.[1];
  if (!conversationId) return refusal('404 Not Found', 'NotFound', 'There is no stream at this address.');
  const token = tokens.check(url.searchParams.get('t') ?? '', 'stream');
  if (!token.ok && token.reason === 'expired') {
    return refusal('403 Forbidden', 'TokenExpired', 'The stream address has expired; ask for a new one.');
  }
  if (!token.ok || token.conversationId !== conversationId) {
    return refusal('403 Forbidden', 'BadArgument', 'The stream address is not valid.');
  }
  const watermark = url.searchParams.get('watermark') ?? '';
  return { ok: true, conversationId, user: token.user, watermark: isWatermark(watermark) ? watermark : '0' } as const;
}

function refuse(socket: Duplex, { status, code, message }: Refusal): void {
  const body = JSON.stringify({ error: { code, message } });
  const head = [
    `HTTP/1.1 ${status}`,
    'Content-Type: application/json; charset=utf-8',
    `Content-Length: ${Buffer.byteLength(body)}`,
    'Connection: close',
  ];
  socket.end(`${head.join('\r\n')}\r\n\r\n${body}`);
}
