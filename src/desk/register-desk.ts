import type { Server } from 'restify';
import { registerAssets } from './assets.ts';
import { registerCases } from './case-routes.ts';
import { deskCookies } from './cookies.ts';
import type { DeskDeps } from './deps.ts';
import { registerSignIn } from './sign-in-routes.ts';
import { createVoice } from './voice.ts';

/** Mounts the desk under `/desk`: signing in, the list of families, one case, its print view. */
export function registerDesk(server: Server, deps: DeskDeps): void {
  const desk = {
    deps,
    cookies: deskCookies(deps.publicUrl?.startsWith('https://') ?? false),
    voice: createVoice(deps.words, deps.language ?? 'en', 'us'),
  };
  registerAssets(server);
  registerSignIn(server, desk);
  registerCases(server, desk);
}
