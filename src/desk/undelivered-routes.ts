import type { Request, Response, Server } from 'restify';
import { queryValue } from '#src/http/respond.ts';
import { get, post } from '#src/http/routes.ts';
import { readForm } from './forms.ts';
import { paths } from './paths.ts';
import { formTokenIsRight } from './secrets.ts';
import { messagePage } from './sign-in-pages.ts';
import { undeliveredPage } from './undelivered-page.ts';
import { type Desk, sendToSignIn, visit } from './visit.ts';

const SHOWN = 100;
const ID = /^[\w-]{1,64}$/;

/** What could not be handed on: seen, and put back in line, by people who are signed in. */
export function registerUndelivered(server: Server, desk: Desk): void {
  const { deps, voice } = desk;
  const { store, clock } = deps;

  get(server, paths.undelivered, async (req: Request, res: Response) => {
    const here = await visit(desk, req, res);
    if (!here.person) return sendToSignIn(here, req);
    const letters = await store.outbox.deadLetters(SHOWN + 1);
    const said = /^\d{1,6}$/.exec(queryValue(req, 'retried') ?? '')?.[0];
    here.show(200, (viewer) =>
      undeliveredPage(voice, viewer, {
        letters: letters.slice(0, SHOWN),
        more: letters.length > SHOWN,
        now: clock(),
        retried: said === undefined ? null : Number(said),
      }),
    );
  });

  post(server, paths.undelivered, async (req: Request, res: Response) => {
    const form = await readForm(req);
    const here = await visit(desk, req, res);
    if (!form.ok)
      return here.show(413, () => messagePage(voice.say('problem.tooLargeTitle'), voice.say('problem.tooLarge')));
    if (!here.person) return sendToSignIn(here, req);
    if (!formTokenIsRight(here.secret, form.fields.get('token')))
      return here.show(403, () => messagePage(voice.say('problem.formTitle'), voice.say('problem.form')));
    const id = form.fields.get('id') ?? '';
    const retried = ID.test(id) ? await store.outbox.retry(id === 'all' ? null : id, clock().toISOString()) : 0;
    const { accountId } = here.person;
    if (retried > 0) await store.audit.note({ accountId, action: 'delivery-retried', subject: id });
    here.goTo(`${paths.undelivered}?retried=${retried}`);
  });
}
