import { z } from 'zod';

export const port = z.coerce.number({ error: 'must be a whole number from 0 to 65535' }).pipe(
  z.int({ error: 'must be a whole number from 0 to 65535' }).min(0).max(65_535, {
    error: 'must be a whole number from 0 to 65535',
  }),
);

export const secret = z.string().min(32, { error: 'must have at least 32 characters' });

// It travels in an Authorization header.
export const bearerSecret = secret.regex(/^[\x21-\x7e]+$/, { error: 'must have no spaces and only ASCII characters' });

export const publicUrlForm = 'must be an http or https address without a path, such as https://chat.example.org';

const hereOnly = /^(?:localhost|127(?:\.\d+){3}|\[::1\])$/;

/** `https`, or plain `http` to this machine. */
export const isWebhookUrl = (url: string): boolean => {
  if (!URL.canParse(url)) return false;
  const { protocol, hostname, username } = new URL(url);
  return username === '' && (protocol === 'https:' || (protocol === 'http:' && hereOnly.test(hostname)));
};

export const cloudForm = 'must be an https address that the cloud of your registration names';

/** One or two keys of 24 to 64 bytes, as the Standard Webhooks specification writes them. */
export const areWebhookSecrets = (text: string): boolean =>
  /^whsec_[A-Za-z0-9+/]{32,88}={0,2}(?: whsec_[A-Za-z0-9+/]{32,88}={0,2})?$/.test(text);

export const address = /^(?:[^<>"\r\n]*<[^\s<>@]+@[^\s<>@]+>|[^\s<>@,]+@[^\s<>@,]+)$/;

export const upTo = (most: number, zero: string) => {
  const error = `must be a whole number from 0 (${zero}) to ${most}`;
  return z.coerce.number({ error }).pipe(z.int({ error }).min(0, { error }).max(most, { error }));
};
