import type { Request, Response, Server } from 'restify';
import type { Logger } from '#src/log.ts';
import { TooManyRequestsError } from '#src/protection/rate-limits.ts';
import { StoreUnavailableError } from '#src/store/store-error.ts';
import { sendError, sendHtml } from './respond.ts';

const KNOWN: Readonly<Record<number, { code: string; message: string }>> = {
  400: { code: 'BadArgument', message: 'The request is malformed.' },
  404: { code: 'NotFound', message: 'There is nothing at this address.' },
  405: { code: 'MethodNotAllowed', message: 'This address does not take that method.' },
  406: { code: 'NotAcceptable', message: 'The answer cannot be given in that form.' },
  413: { code: 'MessageSizeTooBig', message: 'The request is too large.' },
  429: { code: 'TooManyRequests', message: 'Too many requests at once; it is safe to send this again in a while.' },
  503: {
    code: 'ServiceUnavailable',
    message: 'The service cannot reach its database just now; it is safe to send this again.',
  },
  415: { code: 'UnsupportedMediaType', message: 'The request body is of a type that is not taken here.' },
};

const RETRY_AFTER_SECONDS = 5;

/** Renders the page for a person who followed a wrong link. */
export type ErrorPage = (req: Request, status: number) => { html: string; headers: Record<string, string> };

/**
 * Answers everything that was thrown or not routed with our own words: an error's message never leaves the process.
 * What was not expected is logged under the request's id, which the answer names.
 */
export function hideErrors(server: Server, log: Logger, errorPage: ErrorPage): void {
  server.on('restifyError', (req: Request, res: Response, error: unknown, done: () => void) => {
    const status = statusOf(error);
    if (status >= 500) log.error({ requestId: req.getId(), route: routeOf(req), err: error }, 'request failed');
    const wait = retryAfter(error, status);
    if (wait !== null && !res.headersSent) {
      res.setHeader('Retry-After', String(wait));
      // Pages of other origins see no other header of an answer.
      res.setHeader('Access-Control-Expose-Headers', 'Retry-After');
    }
    if (!res.headersSent) answer(req, res, status, errorPage);
    done();
  });
}

/** The route's pattern; `none` when nothing matched. */
export function routeOf(req: Request): string {
  // restify sets the matched route on the request; its types do not say so.
  const path = (req as { route?: { path?: unknown } }).route?.path;
  return typeof path === 'string' ? path : 'none';
}

function statusOf(error: unknown): number {
  if (error instanceof StoreUnavailableError) return 503;
  const status = (error as { statusCode?: unknown } | null)?.statusCode;
  return typeof status === 'number' && status in KNOWN ? status : 500;
}

/** After how many seconds the same may be tried again; null where that would not help. */
function retryAfter(error: unknown, status: number): number | null {
  if (error instanceof TooManyRequestsError) return error.retryAfterSeconds;
  return status === 503 ? RETRY_AFTER_SECONDS : null;
}

function answer(req: Request, res: Response, status: number, errorPage: ErrorPage): void {
  const wantsPage = req.method === 'GET' && (req.headers.accept ?? '').includes('text/html');
  if (wantsPage) {
    const { html, headers } = errorPage(req, status);
    sendHtml(res, status, html, headers);
    return;
  }
  const known = KNOWN[status] ?? {
    code: 'InternalServerError',
    message: `Something went wrong here. If you report it, name the id ${req.getId()}.`,
  };
  sendError(res, status, known.code, known.message);
}
