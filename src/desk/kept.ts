import type { Request } from 'restify';
import { readForm } from './forms.ts';
import { returnPath } from './paths.ts';
import { formTokenIsRight, newToken, tokenHash } from './secrets.ts';
import { type Desk, idleMs, type Visit } from './visit.ts';

const KEPT_MS = 30 * 60_000;
const SECRET = /password|again/i;

/**
 * A form that was sent after its session had run out is kept for half an hour, to be finished after signing in. Only a
 * form of ours, from the browser that had the session: a foreign page can make neither its token nor send its cookie.
 * Gives the cookie that finds it again; null where there is nothing to keep.
 */
export async function keepForm(desk: Desk, req: Request): Promise<string | null> {
  const { deps, cookies } = desk;
  const session = cookies.session.read(req);
  const path = req.url ?? '';
  const isForm = (req.headers['content-type'] ?? '').startsWith('application/x-www-form-urlencoded');
  if (req.method !== 'POST' || !session || !isForm || returnPath(path) !== path) return null;
  const accountId = await deps.store.sessions.ranOut(tokenHash(session), idleMs(deps));
  const form = accountId === null ? null : await readForm(req);
  if (!form?.ok || accountId === null || !formTokenIsRight(session, form.fields.get('token'))) return null;
  const fields = new URLSearchParams([...form.fields].filter(([name]) => name !== 'token' && !SECRET.test(name)));
  const token = newToken();
  await deps.store.keptForms.keep(tokenHash(token), { accountId, path, fields }, KEPT_MS);
  return cookies.kept.set(token, KEPT_MS / 1000);
}

/** The form of this browser that waits for this person; null where there is none, or it is somebody else's. */
export async function keptForm(desk: Desk, here: Visit, req: Request) {
  const token = desk.cookies.kept.read(req);
  const kept = token ? await desk.deps.store.keptForms.find(tokenHash(token)) : null;
  return token && kept && kept.accountId === here.person?.accountId ? { token, ...kept } : null;
}
