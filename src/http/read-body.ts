import type { IncomingMessage } from 'node:http';

export type Body<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly status: 400 | 413; readonly code: string; readonly message: string };

/** So much beyond the limit is still taken off the wire, so that the sender hears the answer. */
const DRAINED_BYTES = 1_000_000;

/** Reads a request's body of at most `limit` bytes. */
export function readBytes(req: IncomingMessage, limit: number): Promise<Body<Buffer>> {
  return new Promise((resolve, reject) => {
    const chunks: Buffer[] = [];
    let size = 0;
    req.on('data', (chunk: Buffer) => {
      size += chunk.length;
      if (size <= limit) {
        chunks.push(chunk);
        return;
      }
      chunks.length = 0;
      resolve({
        ok: false,
        status: 413,
        code: 'MessageSizeTooBig',
        message: `The request is larger than ${limit} bytes.`,
      });
      if (size > limit + DRAINED_BYTES) req.destroy();
    });
    req.on('error', reject);
    req.on('aborted', () => reject(new Error('the request was cut off')));
    req.on('end', () => resolve({ ok: true, value: Buffer.concat(chunks) }));
  });
}

/** Reads a JSON body; an empty one is `null`. */
export async function readJson(req: IncomingMessage, limit: number): Promise<Body<unknown>> {
  const body = await readBytes(req, limit);
  if (!body.ok) return body;
  const text = body.value.toString('utf8').trim();
  if (text === '') return { ok: true, value: null };
  try {
    return { ok: true, value: JSON.parse(text) };
  } catch {
    return { ok: false, status: 400, code: 'BadSyntax', message: 'The request body is not valid JSON.' };
  }
}
