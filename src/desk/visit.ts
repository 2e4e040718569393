import type { Request, Response } from 'restify';
import type { SignedIn } from '#src/store/sessions.ts';
import type { Cookies } from './cookies.ts';
import { type DeskDeps, SESSION_LIMITS } from './deps.ts';
import type { Live } from './live.ts';
import { type PageParts, page, type Viewer } from './page.ts';
import { paths } from './paths.ts';
import { formToken, newToken, tokenHash } from './secrets.ts';
import { seeOther, sendPage } from './send-page.ts';
import type { Voice } from './voice.ts';

/** One request to the desk: who asks, and how to answer. */
export interface Visit {
  readonly person: SignedIn | null;
  /** The secret behind this browser's forms: its session, or a cookie of its own before signing in. */
  readonly secret: string;
  show(status: number, build: (viewer: Viewer) => PageParts, cookies?: readonly string[]): void;
  goTo(path: string, cookies?: readonly string[]): void;
}

export interface Desk {
  readonly deps: DeskDeps;
  readonly cookies: Cookies;
  readonly voice: Voice;
  readonly live: Live;
}

/** How long a session may lie unused, in milliseconds; null: no such limit. */
export const idleMs = ({ sessions = SESSION_LIMITS }: DeskDeps): number | null =>
  sessions.idleMinutes === null ? null : sessions.idleMinutes * 60_000;

const visits = new WeakMap<Request, Promise<Visit>>();

/** Finds out who asks, once for each request. A browser that has no secret for its forms is given one. */
export function visit(desk: Desk, req: Request, res: Response): Promise<Visit> {
  const known = visits.get(req) ?? begin(desk, req, res);
  visits.set(req, known);
  return known;
}

async function begin({ deps, cookies, voice }: Desk, req: Request, res: Response): Promise<Visit> {
  const session = cookies.session.read(req);
  const person = session ? await deps.store.sessions.find(tokenHash(session), idleMs(deps)) : null;
  // What a page asks for by itself, its stream above all, is no sign that somebody is there.
  const byItself = req.headers['x-by-itself'] !== undefined || req.path() === paths.live;
  if (person && session && !byItself) await deps.store.sessions.touch(tokenHash(session));
  const given = cookies.form.read(req);
  const secret = person && session ? session : (given ?? newToken());
  const fresh = !person && !given ? [cookies.form.set(secret)] : [];
  const viewer: Viewer = { person, formToken: formToken(secret) };
  return {
    person,
    secret,
    show: (status, build, set = []) => sendPage(res, status, page(voice, viewer, build(viewer)), [...fresh, ...set]),
    goTo: (path, set = []) => seeOther(res, path, [...fresh, ...set]),
  };
}

/** Sends somebody who is not signed in to the sign-in page, and back here afterwards. */
export const sendToSignIn = (here: Visit, req: Request): void =>
  here.goTo(`${paths.signIn}?next=${encodeURIComponent(req.url ?? paths.list)}`);
