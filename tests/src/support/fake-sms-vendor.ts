import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';

export interface SentText {
  readonly path: string;
  readonly authorization: string | undefined;
  readonly to: string;
  readonly from: string;
  readonly body: string;
}

export interface FakeSmsVendor {
  readonly url: string;
  readonly sent: SentText[];
  /** Who asked for a picture, and with which authorization. */
  readonly fetched: { readonly path: string; readonly authorization: string | undefined }[];
  /** The status of the answers from now on. */
  answer(status: number): void;
  close(): void;
}

/** A vendor's form-encoded API for sending, run here. */
export async function fakeSmsVendor(): Promise<FakeSmsVendor> {
  const sent: SentText[] = [];
  const fetched: FakeSmsVendor['fetched'] = [];
  let status = 201;
  const server = createServer((req, res) => {
    if (req.method === 'GET') {
      fetched.push({ path: req.url ?? '', authorization: req.headers.authorization });
      res.setHeader('Content-Type', 'image/jpeg');
      res.end('a picture');
      return;
    }
    const chunks: Buffer[] = [];
    req.on('data', (chunk: Buffer) => chunks.push(chunk));
    req.on('end', () => {
      const form = new URLSearchParams(Buffer.concat(chunks).toString());
      if (status === 201)
        sent.push({
          path: req.url ?? '',
          authorization: req.headers.authorization,
          to: form.get('To') ?? '',
          from: form.get('From') ?? '',
          body: form.get('Body') ?? '',
        });
      res.writeHead(status, { 'Content-Type': 'application/json' });
      res.end('{"sid":"SM1"}');
    });
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', () => resolve()));
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    sent,
    fetched,
    answer: (next) => {
      status = next;
    },
    close() {
      server.closeAllConnections();
      server.close();
    },
  };
}
