import type { Server } from 'restify';
import type { Metrics } from './metrics.ts';
import { send, sendJson } from './respond.ts';
import { get } from './routes.ts';

export interface OperationsDeps {
  readonly metrics: Metrics;
  /** Rejects when the store cannot be reached. */
  readonly ping: () => Promise<void>;
  readonly draining: () => boolean;
}

/** `/healthz` (the process lives), `/readyz` (it can take a turn) and `/metrics` (Prometheus text). */
export function registerOperations(server: Server, { metrics, ping, draining }: OperationsDeps): void {
  get(server, '/healthz', async (_req, res) => sendJson(res, 200, { status: 'ok' }));
  get(server, '/readyz', async (_req, res) => {
    if (draining()) return sendJson(res, 503, { status: 'stopping' });
    const reachable = await ping().then(
      () => true,
      () => false,
    );
    if (reachable) sendJson(res, 200, { status: 'ready' });
    else sendJson(res, 503, { status: 'store unreachable' });
  });
  get(server, '/metrics', async (_req, res) => {
    send(res, 200, metrics.registry.contentType, await metrics.registry.metrics());
  });
}
