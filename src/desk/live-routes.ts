import type { Request, Response, Server } from 'restify';
import { send } from '#src/http/respond.ts';
import { paths } from './paths.ts';
import { tokenHash } from './secrets.ts';
import { type Desk, visit } from './visit.ts';

/** The stream of changes, for people who are signed in. */
export function registerLive(server: Server, desk: Desk): void {
  // Not by HEAD too, which would hold a connection open for nothing.
  server.get(paths.live, async (req: Request, res: Response) => {
    const { person, secret } = await visit(desk, req, res);
    if (!person) return send(res, 401, 'text/plain; charset=utf-8', '');
    if (!desk.live.open(res, tokenHash(secret))) send(res, 503, 'text/plain; charset=utf-8', '');
  });
}
