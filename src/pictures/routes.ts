import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import type { Server } from 'restify';
import { send, sendError } from '#src/http/respond.ts';
import { get } from '#src/http/routes.ts';
import { PICTURE_IDS } from './picture-ids.ts';

const MONTH_SECONDS = 30 * 24 * 60 * 60;

/** Serves `/pictures/<id>.svg`, to pages of other origins too, since stock clients live there. */
export function registerPictures(server: Server): void {
  const drawings = new Map(
    PICTURE_IDS.map((id) => {
      const body = readFileSync(new URL(`${id}.svg`, import.meta.url));
      return [`${id}.svg`, { body, etag: `"${createHash('sha256').update(body).digest('base64url').slice(0, 22)}"` }];
    }),
  );
  get(server, '/pictures/:file', async (req, res) => {
    const drawing = drawings.get(String(req.params.file));
    if (!drawing) return sendError(res, 404, 'NotFound', 'There is no such picture.');
    res.setHeader('Cache-Control', `public, max-age=${MONTH_SECONDS}`);
    res.setHeader('Access-Control-Allow-Origin', '*');
    res.setHeader('Cross-Origin-Resource-Policy', 'cross-origin');
    res.setHeader('ETag', drawing.etag);
    if ((req.headers['if-none-match'] ?? '').includes(drawing.etag)) return void res.sendRaw(304, '');
    send(res, 200, 'image/svg+xml; charset=utf-8', drawing.body);
  });
}
