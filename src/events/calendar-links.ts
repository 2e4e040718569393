import { createHmac } from 'node:crypto';
import { tokenHash } from '#src/desk/secrets.ts';
import { deriveKey } from '#src/secret-key.ts';

/** Private addresses of families' calendar files: nobody without the key can make one, and only its hash is stored. */
export interface CalendarLinks {
  linkOf(conversationId: string): string;
  hashFor(conversationId: string): string;
  hashOf(token: string): string;
}

export const calendarPath = (token: string): string => `/calendar/${token}`;

/** `base`: where families reach the service, without a slash at its end. */
export function calendarLinks(secret: string, base: () => string): CalendarLinks {
  const key = deriveKey(secret, 'calendar');
  const tokenOf = (conversationId: string) => createHmac('sha256', key).update(conversationId).digest('base64url');
  return {
    linkOf: (conversationId) => `${base()}${calendarPath(tokenOf(conversationId))}`,
    hashFor: (conversationId) => tokenHash(tokenOf(conversationId)),
    hashOf: tokenHash,
  };
}
