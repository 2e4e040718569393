import type { MediaSource } from '#src/channels/remote-photos.ts';
import type { SmsConfig } from '#src/config-channels.ts';

/** Pictures of messages lie at the vendor, for whoever has the account, or where it sends on to. */
export function smsMedia({ account, token, apiUrl }: SmsConfig, others: readonly string[]): MediaSource {
  const { origin } = new URL(apiUrl);
  const header = `Basic ${Buffer.from(`${account}:${token}`).toString('base64')}`;
  return { origins: [origin, ...others], authorization: { origin, header } };
}
