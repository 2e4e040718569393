import type { Request } from 'restify';
import { readBytes } from '#src/http/read-body.ts';

/** A thread's line of the greatest length in a script of three bytes a letter, each written as `%xx`, with room for the rest. */
const LIMIT_BYTES = 32_000;

export type Form = { readonly ok: true; readonly fields: URLSearchParams } | { readonly ok: false };

/** Reads a posted form of at most 32 kB. */
export async function readForm(req: Request): Promise<Form> {
  const body = await readBytes(req, LIMIT_BYTES);
  if (!body.ok) return { ok: false };
  return { ok: true, fields: new URLSearchParams(body.value.toString('utf8')) };
}
