import { createHash, timingSafeEqual } from 'node:crypto';
import type { Request } from 'restify';
import type { Tokens } from './tokens.ts';

interface Refusal {
  readonly ok: false;
  readonly status: 401 | 403;
  readonly code: string;
  readonly message: string;
}

export type Credentials =
  | { readonly ok: true; readonly kind: 'open' }
  | { readonly ok: true; readonly kind: 'secret' }
  | { readonly ok: true; readonly kind: 'token'; readonly conversationId: string; readonly user: string | null }
  | Refusal;

const refuse = (status: 401 | 403, code: string, message: string): Refusal => ({ ok: false, status, code, message });

/**
 * Who asks: the holder of the Direct Line secret, of a token, or (`open`, without the header) nobody in particular.
 */
export function readCredentials(req: Request, tokens: Tokens, secret: string | null): Credentials {
  const header = req.headers.authorization ?? '';
  if (header === '') return { ok: true, kind: 'open' };
  const bearer = /^Bearer +(\S+)$/i.exec(header)?.[1];
  if (!bearer) return refuse(401, 'Unauthorized', 'The Authorization header must read: Bearer SECRET_OR_TOKEN.');
  if (secret !== null && sameText(bearer, secret)) return { ok: true, kind: 'secret' };
  const token = tokens.check(bearer, 'conversation');
  if (token.ok) return { ok: true, kind: 'token', conversationId: token.conversationId, user: token.user };
  if (token.reason === 'expired') return refuse(403, 'TokenExpired', 'The token has expired.');
  return refuse(403, 'BadArgument', 'The secret or token is not one of this service.');
}

/** Constant in time: hashes of equal length are compared, not the texts. */
function sameText(a: string, b: string): boolean {
  const hash = (text: string) => createHash('sha256').update(text).digest();
  return timingSafeEqual(hash(a), hash(b));
}
