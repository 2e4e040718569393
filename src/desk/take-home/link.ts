import { createHmac } from 'node:crypto';
import { deriveKey } from '#src/secret-key.ts';
import { tokenHash } from '../secrets.ts';

/** Links to the sheets of a case: nobody without the key can make one, and only the hash of one is stored. */
export interface TakeHomeLinks {
  /** The same for a case each time. */
  tokenOf(reference: string): string;
  hashOf(token: string): string;
}

export function takeHomeLinks(secret: string): TakeHomeLinks {
  const key = deriveKey(secret, 'take-home');
  return {
    tokenOf: (reference) => createHmac('sha256', key).update(reference).digest('base64url'),
    hashOf: tokenHash,
  };
}

export const takeHomePath = (token: string): string => `/take-home/${token}`;
