import type { Request, Response } from 'restify';

type Headers = Readonly<Record<string, string>>;

/** Sends JSON as UTF-8. */
export function sendJson(res: Response, status: number, body: unknown, headers: Headers = {}): void {
  send(res, status, 'application/json; charset=utf-8', JSON.stringify(body), headers);
}

/** Sends a finished HTML page as UTF-8; the caller has escaped what goes in. */
export function sendHtml(res: Response, status: number, html: string | Buffer, headers: Headers = {}): void {
  send(res, status, 'text/html; charset=utf-8', html, headers);
}

/** Sends text or bytes of the given media type, past restify's formatters, which would quote a page as JSON. */
export function send(res: Response, status: number, type: string, body: string | Buffer, headers: Headers = {}): void {
  res.setHeader('Content-Length', Buffer.byteLength(body));
  res.sendRaw(status, body, { 'Content-Type': type, ...headers });
}

/** `{"error":{"code","message"}}`, as the Bot Framework's ErrorResponse has it. */
export function sendError(res: Response, status: number, code: string, message: string, headers: Headers = {}): void {
  sendJson(res, status, { error: { code, message } }, headers);
}

/** One value of the query string, or null. */
export function queryValue(req: Request, name: string): string | null {
  return new URLSearchParams(req.getQuery()).get(name);
}
