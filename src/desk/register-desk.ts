import type { Server } from 'restify';
import { registerAssets } from './assets.ts';
import { registerCases } from './case-routes.ts';
import { deskCookies } from './cookies.ts';
import type { DeskDeps } from './deps.ts';
import { registerBoard } from './events/board-routes.ts';
import { registerTeamCalendar } from './events/calendar-routes.ts';
import { registerEvents } from './events/event-routes.ts';
import { registerPoster } from './events/poster-routes.ts';
import { registerKept } from './kept-routes.ts';
import { createLive } from './live.ts';
import { registerLive } from './live-routes.ts';
import { registerOidc } from './oidc-routes.ts';
import { registerPassword } from './password-routes.ts';
import { registerPeople } from './people-routes.ts';
import { registerPhotos } from './photos/photo-routes.ts';
import { registerPlan } from './plan/plan-routes.ts';
import { registerRecord } from './record/record-routes.ts';
import { registerReports } from './report/report-routes.ts';
import { guardRoutes } from './route-guard.ts';
import { registerSignIn } from './sign-in-routes.ts';
import { registerStock } from './stock/stock-routes.ts';
import { registerTakeHome } from './take-home/take-home-routes.ts';
import { registerThread } from './thread-routes.ts';
import { registerUndelivered } from './undelivered-routes.ts';
import { registerUsage } from './usage-routes.ts';
import { idleMs } from './visit.ts';
import { createVoice } from './voice.ts';

/**
 * Mounts the desk under `/desk`; `route-rules.ts` says who may open what. Gives the way to end its open streams.
 */
export function registerDesk(server: Server, deps: DeskDeps): { close(): void } {
  const live = createLive(deps.store, idleMs(deps));
  const desk = {
    deps,
    cookies: deskCookies(deps.publicUrl?.startsWith('https://') ?? false),
    voice: createVoice(deps.words, deps.language ?? 'en', 'us'),
    live,
  };
  guardRoutes(server, desk);
  registerAssets(server);
  registerSignIn(server, desk);
  if (deps.provider) registerOidc(server, desk, deps.provider);
  registerKept(server, desk);
  registerPassword(server, desk);
  registerPeople(server, desk);
  registerUsage(server, desk);
  registerEvents(server, desk);
  registerBoard(server, desk);
  registerStock(server, desk);
  registerPoster(server, desk);
  registerTeamCalendar(server, desk);
  registerReports(server, desk);
  registerCases(server, desk);
  registerPhotos(server, desk);
  registerThread(server, desk);
  registerRecord(server, desk);
  registerPlan(server, desk);
  registerTakeHome(server, desk);
  registerLive(server, desk);
  registerUndelivered(server, desk);
  return { close: live.close };
}
