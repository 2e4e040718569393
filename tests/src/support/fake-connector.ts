import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';

export interface Posted {
  readonly path: string;
  readonly authorization: string | undefined;
  readonly activity: {
    readonly type?: string;
    readonly text?: string;
    readonly attachments?: { readonly contentType: string; readonly content?: unknown }[];
    readonly suggestedActions?: { readonly actions: { readonly value: string }[] };
    readonly conversation?: { readonly id: string };
  };
}

export interface FakeConnector {
  readonly url: string;
  readonly posted: Posted[];
  /** Resolves when so many were posted in all. */
  until(count: number): Promise<void>;
  /** The status of the answers from now on. */
  answer(status: number): void;
  close(): void;
}

/** A Bot Framework connector service as its REST reference describes it, as far as it takes activities. */
export async function fakeConnector(): Promise<FakeConnector> {
  const posted: Posted[] = [];
  let status = 200;
  let heard = () => {};
  const server = createServer((req, res) => {
    const chunks: Buffer[] = [];
    req.on('data', (chunk: Buffer) => chunks.push(chunk));
    req.on('end', () => {
      res.writeHead(status, { 'Content-Type': 'application/json' });
      res.end(status < 300 ? `{"id":"r${posted.length}"}` : '{"error":{"code":"ServiceError","message":"no"}}');
      const { authorization } = req.headers;
      posted.push({ path: req.url ?? '', authorization, activity: JSON.parse(Buffer.concat(chunks).toString()) });
      heard();
    });
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', () => resolve()));
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    posted,
    until: (count) =>
      new Promise((resolve) => {
        heard = () => {
          if (posted.length >= count) resolve();
        };
        heard();
      }),
    answer: (next) => {
      status = next;
    },
    close() {
      server.closeAllConnections();
      server.close();
    },
  };
}
