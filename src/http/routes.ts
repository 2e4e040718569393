import type { Request, Response, Server } from 'restify';

export type Handler = (req: Request, res: Response) => Promise<void>;

// restify tells async handlers by their kind, so each is wrapped in an async function of its own.
const asAsync = (handler: Handler) => async (req: Request, res: Response) => {
  await handler(req, res);
};

/** Serves GET, and HEAD by the same handler: Node leaves the body out. */
export function get(server: Server, path: string, handler: Handler): void {
  server.get(path, asAsync(handler));
  server.head(path, asAsync(handler));
}

export function post(server: Server, path: string, handler: Handler): void {
  server.post(path, asAsync(handler));
}
