import type { Request, Response, Server } from 'restify';
import { queryValue } from '#src/http/respond.ts';
import { get, post } from '#src/http/routes.ts';
import { readForm } from './forms.ts';
import { paths, returnPath } from './paths.ts';
import { formTokenIsRight, tokenHash } from './secrets.ts';
import { firstProblem, makeFirst, SESSION_MS, signIn } from './sign-in.ts';
import { firstPage, messagePage, signInPage } from './sign-in-pages.ts';
import { type Desk, type Visit, visit } from './visit.ts';

type FormHandler = (here: Visit, fields: URLSearchParams, req: Request) => Promise<void>;

const SESSION_SECONDS = SESSION_MS / 1000;

/** Signing in and out, and the first account. */
export function registerSignIn(server: Server, desk: Desk): void {
  const { deps, cookies, voice, live } = desk;

  /** Every form is read and its token checked here; a handler runs only for a form of ours. */
  const form = (path: string, handler: FormHandler, refused: (here: Visit, fields: URLSearchParams) => void) =>
    post(server, path, async (req: Request, res: Response) => {
      const read = await readForm(req);
      const here = await visit(desk, req, res);
      if (!read.ok)
        return here.show(413, () => messagePage(voice.say('problem.tooLargeTitle'), voice.say('problem.tooLarge')));
      if (!formTokenIsRight(here.secret, read.fields.get('token'))) return refused(here, read.fields);
      await handler(here, read.fields, req);
    });

  const notOurs = (here: Visit) =>
    here.show(403, () => messagePage(voice.say('problem.formTitle'), voice.say('problem.form')));

  get(server, paths.signIn, async (req, res) => {
    const here = await visit(desk, req, res);
    const next = returnPath(queryValue(req, 'next'));
    if (here.person) return here.goTo(next);
    const signedOut = queryValue(req, 'out') === 'yes';
    here.show(200, (viewer) => signInPage(voice, viewer, { name: '', next, signedOut }));
  });

  form(
    paths.signIn,
    async (here, fields) => {
      const [name, next] = [fields.get('name') ?? '', returnPath(fields.get('next'))];
      const session = await signIn(deps, name, fields.get('password') ?? '');
      if (session) return here.goTo(next, [cookies.session.set(session, SESSION_SECONDS), cookies.form.clear()]);
      here.show(401, (viewer) => signInPage(voice, viewer, { name, next, problem: 'refused' }));
    },
    (here, fields) =>
      here.show(403, (viewer) =>
        signInPage(voice, viewer, { name: '', next: returnPath(fields.get('next')), problem: 'expired' }),
      ),
  );

  form(
    paths.signOut,
    async (here, _fields, req) => {
      const session = cookies.session.read(req);
      if (session) {
        await deps.store.sessions.end(tokenHash(session));
        live.end(tokenHash(session));
      }
      if (here.person)
        await deps.store.audit.note({ accountId: here.person.accountId, action: 'signed-out', subject: null });
      here.goTo(`${paths.signIn}?out=yes`, [cookies.session.clear()]);
    },
    notOurs,
  );

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

  form(
    paths.first,
    async (here, fields) => {
      const typed = (field: string) => fields.get(field) ?? '';
      const linkToken = typed('link');
      const wanted = { name: typed('name'), password: typed('password'), again: typed('again') };
      if (!(await deps.store.accounts.firstLinkIsOpen(tokenHash(linkToken)))) return closed(here);
      const problem = firstProblem(wanted);
      if (problem)
        return here.show(422, (viewer) => firstPage(voice, viewer, { linkToken, name: wanted.name, problem }));
      const session = await makeFirst(deps, linkToken, wanted);
      if (!session) return closed(here);
      here.goTo(paths.list, [cookies.session.set(session, SESSION_SECONDS), cookies.form.clear()]);
    },
    notOurs,
  );
}
