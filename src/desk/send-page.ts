import type { Response } from 'restify';
import { sendHtml } from '#src/http/respond.ts';
import type { Html } from './html.ts';

/** Only our own files; forms go nowhere else; no page may frame the desk. */
const HEADERS: Readonly<Record<string, string>> = {
  'Cache-Control': 'no-store',
  'Content-Security-Policy':
    "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
  'Cross-Origin-Opener-Policy': 'same-origin',
  'Cross-Origin-Resource-Policy': 'same-origin',
  'Permissions-Policy': 'camera=(), geolocation=(), microphone=()',
  'Referrer-Policy': 'no-referrer',
  'X-Content-Type-Options': 'nosniff',
  'X-Frame-Options': 'DENY',
  'X-Robots-Tag': 'noindex',
};

/** A stream that nobody between keeps or gathers up. */
export const LIVE_HEADERS: Readonly<Record<string, string>> = {
  'Content-Type': 'text/event-stream; charset=utf-8',
  'Cache-Control': 'no-store',
  'X-Accel-Buffering': 'no',
  'X-Content-Type-Options': 'nosniff',
};

type Cookies = readonly string[];

/** Sends a desk page under its content policy. */
export function sendPage(res: Response, status: number, page: Html, cookies: Cookies = []): void {
  if (cookies.length > 0) res.setHeader('Set-Cookie', cookies);
  sendHtml(res, status, page.markup, HEADERS);
}

/** Answers a form: the browser loads `path` next, so that a reload sends nothing twice. */
export function seeOther(res: Response, path: string, cookies: Cookies = []): void {
  if (cookies.length > 0) res.setHeader('Set-Cookie', cookies);
  res.sendRaw(303, '', { ...HEADERS, Location: path, 'Content-Length': '0' });
}
