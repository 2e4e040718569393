import type { RequestHandler } from 'restify';

/** What every answer carries; a page replaces the content policy by its own. */
const HEADERS: Readonly<Record<string, string>> = {
  'Cache-Control': 'no-store',
  'Content-Security-Policy': "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
  'Cross-Origin-Opener-Policy': 'same-origin',
  'Cross-Origin-Resource-Policy': 'same-origin',
  'Permissions-Policy': 'camera=(), geolocation=(), microphone=()',
  'Referrer-Policy': 'no-referrer',
  'X-Content-Type-Options': 'nosniff',
  'X-Frame-Options': 'DENY',
};

/** Sets the headers before routing; `https` adds strict transport security. */
export function securityHeaders(https: boolean): RequestHandler {
  return (_req, res, next) => {
    for (const [name, value] of Object.entries(HEADERS)) res.setHeader(name, value);
    if (https) res.setHeader('Strict-Transport-Security', 'max-age=31536000');
    next();
  };
}
