import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import type { Server } from 'restify';
import { send } from '#src/http/respond.ts';
import { get } from '#src/http/routes.ts';
import { paths } from './paths.ts';

const TYPES = {
  'base.css': 'text/css; charset=utf-8',
  'forms.css': 'text/css; charset=utf-8',
  'list.css': 'text/css; charset=utf-8',
  'filter.css': 'text/css; charset=utf-8',
  'facts.css': 'text/css; charset=utf-8',
  'case.css': 'text/css; charset=utf-8',
  'drawings.css': 'text/css; charset=utf-8',
  'plan.css': 'text/css; charset=utf-8',
  'paper.css': 'text/css; charset=utf-8',
  'report.css': 'text/css; charset=utf-8',
  'stock.css': 'text/css; charset=utf-8',
  'events.css': 'text/css; charset=utf-8',
  'board.css': 'text/css; charset=utf-8',
  'poster.css': 'text/css; charset=utf-8',
  'admin.css': 'text/css; charset=utf-8',
  'thread.css': 'text/css; charset=utf-8',
  'record.css': 'text/css; charset=utf-8',
  'taps.css': 'text/css; charset=utf-8',
  'take-home.css': 'text/css; charset=utf-8',
  'photos.css': 'text/css; charset=utf-8',
  'print.css': 'text/css; charset=utf-8',
  'desk.js': 'text/javascript; charset=utf-8',
  'thread.js': 'text/javascript; charset=utf-8',
  'record.js': 'text/javascript; charset=utf-8',
} as const;

type AssetName = keyof typeof TYPES;

const ASSETS = Object.fromEntries(
  Object.keys(TYPES).map((name) => {
    const body = readFileSync(new URL(`assets/${name}`, import.meta.url));
    return [name, { body, mark: createHash('sha256').update(body).digest('base64url').slice(0, 12) }];
  }),
) as Record<AssetName, { body: Buffer; mark: string }>;

/** The address of a file, with a mark of its content so that a browser may keep it. */
export const assetPath = (name: AssetName): string => `${paths.asset(name)}?v=${ASSETS[name].mark}`;

/** Serves the desk's style sheets and script; there is nothing else in that folder. */
export function registerAssets(server: Server): void {
  for (const [name, type] of Object.entries(TYPES) as [AssetName, string][])
    get(server, paths.asset(name), async (_req, res) => {
      send(res, 200, type, ASSETS[name].body, {
        'Cache-Control': 'public, max-age=31536000, immutable',
        'X-Content-Type-Options': 'nosniff',
        'Cross-Origin-Resource-Policy': 'same-origin',
      });
    });
}
