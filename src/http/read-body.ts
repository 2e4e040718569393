import type { IncomingMessage } from 'node:http';

export type Body<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly status: 400 | 408 | 413; readonly code: string; readonly message: string };

/** So much beyond the limit is still taken off the wire, so that the sender hears the answer. */
const DRAINED_BYTES = 1_000_000;

/** Reads a request's body of at most `limit` bytes, for so long at most. */
export function readBytes(req: IncomingMessage, limit: number, withinMs?: number): Promise<Body<Buffer>> {
  const { promise, resolve, reject } = Promise.withResolvers<Body<Buffer>>();
  const chunks: Buffer[] = [];
  let size = 0;
  const giveUp = () => {
    chunks.length = 0;
    req.pause();
    resolve({ ok: false, status: 408, code: 'RequestTimeout', message: 'The request took too long to arrive.' });
  };
  const late = withinMs === undefined ? undefined : setTimeout(giveUp, withinMs);
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
  const cutOff = () => reject(new Error('the request was cut off'));
  // It may have been before anybody listened.
  if (req.destroyed) cutOff();
  req.on('error', reject);
  req.on('aborted', cutOff);
  req.on('end', () => resolve({ ok: true, value: Buffer.concat(chunks) }));
  return promise.finally(() => clearTimeout(late));
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
