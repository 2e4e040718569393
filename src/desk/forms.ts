import type { Request } from 'restify';
import { readBytes } from '#src/http/read-body.ts';

const LIMIT_BYTES = 10_000;

export type Form = { readonly ok: true; readonly fields: URLSearchParams } | { readonly ok: false };

/** Reads a posted form of at most 10 kB. */
export async function readForm(req: Request): Promise<Form> {
  const body = await readBytes(req, LIMIT_BYTES);
  if (!body.ok) return { ok: false };
  return { ok: true, fields: new URLSearchParams(body.value.toString('utf8')) };
}
