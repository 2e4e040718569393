import { createHmac, timingSafeEqual } from 'node:crypto';
import { z } from 'zod';
import type { Clock } from '#src/clock.ts';

/** `conversation`: a client's token; `stream`: in a stream address; `resume`: kept by the page on the caregiver's device. */
export type TokenUse = 'conversation' | 'stream' | 'resume';

/** Direct Line tokens live 30 minutes, and a stream address must be used within one. */
export const TOKEN_SECONDS: Readonly<Record<TokenUse, number>> = {
  conversation: 30 * 60,
  stream: 60,
  resume: 180 * 24 * 60 * 60,
};

const claimsSchema = z.object({
  use: z.enum(['conversation', 'stream', 'resume']),
  conv: z.string(),
  /** The client's own id of its user; stock clients read it out of the token. */
  user: z.string().optional(),
  exp: z.number(),
});

export type TokenCheck =
  | { readonly ok: true; readonly conversationId: string; readonly user: string | null }
  | { readonly ok: false; readonly reason: 'malformed' | 'expired' };

export interface Tokens {
  issue(use: TokenUse, conversationId: string, user: string | null): string;
  check(token: string, use: TokenUse): TokenCheck;
}

// The header is fixed and compared whole, so no other algorithm can be asked for.
const HEADER = Buffer.from('{"alg":"HS256","typ":"JWT"}').toString('base64url');

/** Tokens bound to one conversation: JSON Web Tokens (RFC 7519) under HMAC-SHA-256 with a 32-byte key. */
export function createTokens(key: Buffer, clock: Clock): Tokens {
  const sign = (text: string) => createHmac('sha256', key).update(text).digest();
  const now = () => Math.floor(clock().getTime() / 1000);
  return {
    issue(use, conversationId, user) {
      const claims = { use, conv: conversationId, ...(user && { user }), exp: now() + TOKEN_SECONDS[use] };
      const signed = `${HEADER}.${Buffer.from(JSON.stringify(claims)).toString('base64url')}`;
      return `${signed}.${sign(signed).toString('base64url')}`;
    },
    check(token, use) {
      const [header, payload, signature, ...rest] = token.split('.');
      if (header !== HEADER || !payload || !signature || rest.length > 0) return { ok: false, reason: 'malformed' };
      const given = Buffer.from(signature, 'base64url');
      const expected = sign(`${header}.${payload}`);
      if (given.length !== expected.length || !timingSafeEqual(given, expected)) {
        return { ok: false, reason: 'malformed' };
      }
      const claims = claimsSchema.parse(JSON.parse(Buffer.from(payload, 'base64url').toString('utf8')));
      if (claims.use !== use) return { ok: false, reason: 'malformed' };
      if (claims.exp <= now()) return { ok: false, reason: 'expired' };
      return { ok: true, conversationId: claims.conv, user: claims.user ?? null };
    },
  };
}
