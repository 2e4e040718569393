import type { Server } from 'restify';
import { queryValue } from '#src/http/respond.ts';
import { get } from '#src/http/routes.ts';
import { blockListOf } from '#src/protection/client-address.ts';
import { formRoute } from './form-route.ts';
import { guessKeys } from './guessing.ts';
import { paths, returnPath } from './paths.ts';
import { tokenHash } from './secrets.ts';
import { firstProblem, makeFirst, sessionMs, signIn } from './sign-in.ts';
import { firstPage, messagePage, signInPage } from './sign-in-pages.ts';
import { type Desk, type Visit, visit } from './visit.ts';

/** How much longer than its session the cookie stays, so that a form of a session that ran out can be known again. */
const AFTERWARDS_SECONDS = 24 * 60 * 60;

/** What a browser is given that signs in. */
export const sessionCookies = ({ cookies, deps }: Desk, session: string): readonly string[] => [
  cookies.session.set(session, sessionMs(deps) / 1000 + AFTERWARDS_SECONDS),
  cookies.form.clear(),
];

/** Signing in and out, and the first account. */
export function registerSignIn(server: Server, desk: Desk): void {
  const { deps, cookies, voice, live } = desk;
  const provider = Boolean(deps.provider);
  const proxies = blockListOf(deps.trustedProxies ?? []);

  get(server, paths.signIn, async (req, res) => {
    const here = await visit(desk, req, res);
    const next = returnPath(queryValue(req, 'next'));
    if (here.person) return here.goTo(next);
    const signedOut = queryValue(req, 'out') === 'yes';
    here.show(200, (viewer) => signInPage(voice, viewer, { provider, name: '', next, signedOut }));
  });

  formRoute(
    server,
    desk,
    paths.signIn,
    async (here, fields, req) => {
      const [name, next] = [fields.get('name') ?? '', returnPath(fields.get('next'))];
      const keys = guessKeys(req, name, proxies);
      const result = await signIn(deps, name, fields.get('password') ?? '', keys);
      if (result.ok) return here.goTo(next, sessionCookies(desk, result.session));
      const { waitMs } = result;
      here.show(waitMs > 0 ? 429 : 401, (viewer) =>
        signInPage(voice, viewer, { provider, name, next, problem: 'refused', waitMs }),
      );
    },
    (here, fields) =>
      here.show(403, (viewer) =>
        signInPage(voice, viewer, { provider, name: '', next: returnPath(fields.get('next')), problem: 'expired' }),
      ),
  );

  formRoute(server, desk, paths.signOut, async (here, _fields, req) => {
    const session = cookies.session.read(req);
    if (session) {
      await deps.store.sessions.end(tokenHash(session));
      live.end(tokenHash(session));
    }
    if (here.person)
      await deps.store.audit.note({ accountId: here.person.accountId, action: 'signed-out', subject: null });
    here.goTo(`${paths.signIn}?out=yes`, [cookies.session.clear()]);
  });

  const closed = (here: Visit) =>
    here.show(410, () =>
      messagePage(voice.say('first.closed'), voice.say('first.closedWhy'), {
        href: paths.signIn,
        text: voice.say('signIn.title'),
      }),
    );

  get(server, paths.first, async (req, res) => {
    const here = await visit(desk, req, res);
    const linkToken = queryValue(req, 'token') ?? '';
    if (!(await deps.store.accounts.firstLinkIsOpen(tokenHash(linkToken)))) return closed(here);
    here.show(200, (viewer) => firstPage(voice, viewer, { linkToken, name: '' }));
  });

  formRoute(server, desk, paths.first, async (here, fields) => {
    const typed = (field: string) => fields.get(field) ?? '';
    const linkToken = typed('link');
    const wanted = { name: typed('name'), password: typed('password'), again: typed('again') };
    if (!(await deps.store.accounts.firstLinkIsOpen(tokenHash(linkToken)))) return closed(here);
    const problem = firstProblem(wanted);
    if (problem) return here.show(422, (viewer) => firstPage(voice, viewer, { linkToken, name: wanted.name, problem }));
    const session = await makeFirst(deps, linkToken, wanted);
    if (!session) return closed(here);
    here.goTo(paths.list, sessionCookies(desk, session));
  });
}
