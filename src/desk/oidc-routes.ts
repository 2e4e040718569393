import type { AddressInfo } from 'node:net';
import type { Request, Response, Server } from 'restify';
import { queryValue } from '#src/http/respond.ts';
import { get } from '#src/http/routes.ts';
import { createIdentityProvider, type ProviderSettings } from './identity-provider.ts';
import { accountOf } from './oidc-account.ts';
import { beginFlow, resumeFlow } from './oidc-flow.ts';
import { paths, returnPath } from './paths.ts';
import { newToken } from './secrets.ts';
import { openSession } from './sign-in.ts';
import { messagePage, signInPage } from './sign-in-pages.ts';
import { sessionCookies } from './sign-in-routes.ts';
import { type Desk, type Visit, visit } from './visit.ts';

const FLOW_SECONDS = 600;
const INVITATION = /^[\w-]{43}$/;

/** Signing in through the organisation's identity provider, beside local accounts. */
export function registerOidc(server: Server, desk: Desk, settings: ProviderSettings): void {
  const { deps, voice, cookies } = desk;
  const provider = createIdentityProvider(settings);
  const base = () => deps.publicUrl ?? `http://localhost:${(server.address() as AddressInfo).port}`;
  const backTo = () => `${base()}${paths.oidcBack}`;

  const unreachable = (here: Visit, next: string) =>
    here.show(503, (viewer) => signInPage(voice, viewer, { name: '', next, problem: 'providerAway', provider: true }));

  const again = (here: Visit, status: number, title: string, text: string) =>
    here.show(status, () => messagePage(title, text, { href: paths.signIn, text: voice.say('signIn.title') }), [
      cookies.oidc.clear(),
      cookies.invitation.clear(),
    ]);

  get(server, paths.oidc, async (req: Request, res: Response) => {
    const here = await visit(desk, req, res);
    const next = returnPath(queryValue(req, 'next'));
    const secret = newToken();
    const address = await provider.begin(beginFlow(secret, next, deps.clock()), backTo());
    if (address === null) return unreachable(here, next);
    const invitation = queryValue(req, 'invitation') ?? '';
    here.goTo(address, [
      cookies.oidc.set(secret, FLOW_SECONDS),
      // It stays in the browser: the provider need not see it.
      INVITATION.test(invitation) ? cookies.invitation.set(invitation, FLOW_SECONDS) : cookies.invitation.clear(),
    ]);
  });

  get(server, paths.oidcBack, async (req: Request, res: Response) => {
    const here = await visit(desk, req, res);
    const secret = cookies.oidc.read(req);
    const flow = secret ? resumeFlow(secret, queryValue(req, 'state') ?? '', deps.clock()) : null;
    if (!flow) return again(here, 400, voice.say('oidc.expired'), voice.say('oidc.expiredWhy'));
    const found = await provider.finish(flow, new URL(req.url ?? '', base()));
    if (!found.ok && found.reason === 'unreachable') return unreachable(here, flow.next);
    if (!found.ok) return again(here, 400, voice.say('oidc.refused'), voice.say('oidc.refusedWhy'));
    const person = await accountOf(deps.store, found.identity, cookies.invitation.read(req));
    if (!person) return again(here, 403, voice.say('oidc.unknown'), voice.say('oidc.unknownWhy'));
    await deps.store.audit.note({ accountId: person.id, action: 'signed-in', subject: null });
    const session = await openSession(deps, person);
    here.goTo(flow.next, [...sessionCookies(desk, session), cookies.oidc.clear(), cookies.invitation.clear()]);
  });
}
