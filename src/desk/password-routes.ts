import type { Request, Response, Server } from 'restify';
import { queryValue } from '#src/http/respond.ts';
import { get } from '#src/http/routes.ts';
import { formRoute } from './form-route.ts';
import { passwordPage } from './password-page.ts';
import { paths } from './paths.ts';
import { tokenHash } from './secrets.ts';
import { choosePassword, firstProblem } from './sign-in.ts';
import { messagePage } from './sign-in-pages.ts';
import { sessionCookies } from './sign-in-routes.ts';
import { type Desk, type Visit, visit } from './visit.ts';

/** Choosing a password by a link that a coordinator gave. */
export function registerPassword(server: Server, desk: Desk): void {
  const { deps, voice } = desk;
  const provider = Boolean(deps.provider);

  const closed = (here: Visit) =>
    here.show(410, () =>
      messagePage(voice.say('password.closed'), voice.say('password.closedWhy'), {
        href: paths.signIn,
        text: voice.say('signIn.title'),
      }),
    );

  get(server, paths.password, async (req: Request, res: Response) => {
    const here = await visit(desk, req, res);
    const linkToken = queryValue(req, 'token') ?? '';
    const person = await deps.store.people.byLink(tokenHash(linkToken));
    if (!person) return closed(here);
    here.show(200, (viewer) => passwordPage(voice, viewer, { linkToken, name: person.name, provider }));
  });

  formRoute(server, desk, paths.password, async (here, fields) => {
    const linkToken = fields.get('link') ?? '';
    const person = await deps.store.people.byLink(tokenHash(linkToken));
    if (!person) return closed(here);
    const { name } = person;
    const [password, again] = [fields.get('password') ?? '', fields.get('again') ?? ''];
    const problem = firstProblem({ name, password, again });
    if (problem) return here.show(422, (viewer) => passwordPage(voice, viewer, { linkToken, name, problem, provider }));
    const session = await choosePassword(deps, linkToken, password);
    if (!session) return closed(here);
    here.goTo(paths.list, sessionCookies(desk, session));
  });
}
