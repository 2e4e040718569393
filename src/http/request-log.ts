import type { Request, Response, Server } from 'restify';
import type { Logger } from '#src/log.ts';
import { routeOf } from './errors.ts';
import type { Metrics } from './metrics.ts';

/** Gives each answer its request's id, and logs and counts it by route; addresses may carry tokens and are not logged. */
export function logRequests(server: Server, log: Logger, metrics: Metrics): void {
  const begun = new WeakMap<Request, number>();
  server.pre((req, res, next) => {
    begun.set(req, performance.now());
    res.setHeader('X-Request-Id', req.getId());
    next();
  });
  server.on('after', (req: Request, res: Response) => {
    const seconds = (performance.now() - (begun.get(req) ?? performance.now())) / 1000;
    const labels = { method: req.method ?? '', route: routeOf(req), status: res.statusCode };
    metrics.request(labels, seconds);
    log.info({ requestId: req.getId(), ...labels, ms: Math.round(seconds * 1000) }, 'request');
  });
}
