import { createHash, createHmac, randomBytes, timingSafeEqual } from 'node:crypto';

/** 256 random bits. */
export const newToken = (): string => randomBytes(32).toString('base64url');

/** What is stored of a token: whoever reads the database cannot use it. */
export const tokenHash = (token: string): string => createHash('sha256').update(token).digest('base64url');

/** The token of every form a browser is given, tied to the secret in its cookie: another site cannot make it. */
export const formToken = (cookieToken: string): string =>
  createHmac('sha256', cookieToken).update('desk form').digest('base64url');

/** True if the form was given to the browser that holds this cookie. */
export function formTokenIsRight(cookieToken: string, given: string | null): boolean {
  const wanted = Buffer.from(formToken(cookieToken));
  const sent = Buffer.from(given ?? '');
  return wanted.length === sent.length && timingSafeEqual(wanted, sent);
}
