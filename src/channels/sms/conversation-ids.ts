import { createHmac } from 'node:crypto';
import { deriveKey } from '#src/secret-key.ts';

/** Our conversation of two telephone numbers: under the present key first, then under those that were replaced. */
export type ConversationIds = (from: string, to: string) => readonly [string, ...string[]];

/** The ids are keyed: a plain hash of a telephone number is soon guessed. */
export function conversationIds(masterSecret: string, oldSecrets: readonly string[]): ConversationIds {
  const under = (secret: string) => {
    const key = deriveKey(secret, 'sms');
    return (both: string) => `sms-${createHmac('sha256', key).update(both).digest('base64url').slice(0, 32)}`;
  };
  const present = under(masterSecret);
  const old = oldSecrets.map(under);
  return (from, to) => {
    const both = JSON.stringify([from, to]);
    return [present(both), ...old.map((id) => id(both))];
  };
}
