import type { Server } from 'restify';
import { z } from 'zod';
import { caseSchema } from '#shared/case.ts';
import { preVisitSummarySchema } from '#shared/summary.ts';
import { sendJson } from './respond.ts';
import { get } from './routes.ts';

/** `/schema/case.json`, what may be handed in, and `/schema/pre-visit-summary.json`, what comes out. */
export function registerSchemas(server: Server): void {
  const schemas = {
    '/schema/case.json': z.toJSONSchema(caseSchema, { io: 'input' }),
    '/schema/pre-visit-summary.json': z.toJSONSchema(preVisitSummarySchema, { io: 'output' }),
  };
  for (const [path, schema] of Object.entries(schemas)) {
    get(server, path, async (_req, res) => {
      sendJson(res, 200, schema, {
        'Cache-Control': 'public, max-age=300',
        'Cross-Origin-Resource-Policy': 'cross-origin',
      });
    });
  }
}
