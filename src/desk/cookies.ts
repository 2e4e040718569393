import type { Request } from 'restify';

export interface Cookies {
  readonly session: Cookie;
  readonly form: Cookie;
  /** Finds a form that waits for its person to sign in again. */
  readonly kept: Cookie;
  /** The secret of a way to the identity provider and back. */
  readonly oidc: Cookie;
  /** An invitation that is taken up through the identity provider. */
  readonly invitation: Cookie;
}

/** One cookie of the desk: read from a request, set on an answer, and taken back. */
export interface Cookie {
  read(req: Request): string | null;
  set(value: string, maxAgeSeconds?: number): string;
  clear(): string;
}

const TOKEN = /^[\w-]{43}$/;

function cookie(name: string, https: boolean): Cookie {
  // The prefix makes browsers refuse the cookie unless it is secure and for this host alone.
  const fullName = https ? `__Host-${name}` : name;
  const attributes = `; Path=/; HttpOnly; SameSite=Lax${https ? '; Secure' : ''}`;
  return {
    read: (req) => {
      const pairs = (req.headers.cookie ?? '').split(';').map((pair) => pair.trim().split('='));
      const value = pairs.find(([key]) => key === fullName)?.[1];
      return value !== undefined && TOKEN.test(value) ? value : null;
    },
    set: (value, maxAgeSeconds) =>
      `${fullName}=${value}${attributes}${maxAgeSeconds === undefined ? '' : `; Max-Age=${maxAgeSeconds}`}`,
    clear: () => `${fullName}=${attributes}; Max-Age=0`,
  };
}

/** The cookies of the desk: the session, the secret behind the forms of somebody not signed in yet, and a kept form. */
export const deskCookies = (https: boolean): Cookies => ({
  session: cookie('lapwing_desk', https),
  form: cookie('lapwing_form', https),
  kept: cookie('lapwing_kept', https),
  oidc: cookie('lapwing_oidc', https),
  invitation: cookie('lapwing_invitation', https),
});
