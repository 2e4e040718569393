import type { Request, Response, Server } from 'restify';
import { post } from '#src/http/routes.ts';
import { readForm } from './forms.ts';
import { formTokenIsRight, tokenHash } from './secrets.ts';
import { messagePage } from './sign-in-pages.ts';
import { type Desk, type Visit, visit } from './visit.ts';

/** A visit of somebody who is signed in. */
export type SignedInVisit = Visit & { readonly person: NonNullable<Visit['person']> };

type FormHandler<Here> = (here: Here, fields: URLSearchParams, req: Request, res: Response) => Promise<void>;

/** Takes a form of the desk: it is read and its token checked, and the handler runs only for a form of ours. */
export function formRoute(
  server: Server,
  desk: Desk,
  path: string,
  handler: FormHandler<Visit>,
  refused?: (here: Visit, fields: URLSearchParams) => void,
): void {
  const { voice } = desk;
  post(server, path, async (req: Request, res: Response) => {
    const read = await readForm(req);
    const here = await visit(desk, req, res);
    if (!read.ok)
      return here.show(413, () => messagePage(voice.say('problem.tooLargeTitle'), voice.say('problem.tooLarge')));
    if (!formTokenIsRight(here.secret, read.fields.get('token'))) {
      if (refused) return refused(here, read.fields);
      return here.show(403, () => messagePage(voice.say('problem.formTitle'), voice.say('problem.form')));
    }
    // Sent from the page of a form that was kept: it is finished now.
    if (read.fields.has('kept')) await desk.deps.store.keptForms.drop(tokenHash(read.fields.get('kept') ?? ''));
    await handler(here, read.fields, req, res);
  });
}

/** The same for people who are signed in; `route-rules.ts` keeps everybody else out. */
export function signedInForm(server: Server, desk: Desk, path: string, handler: FormHandler<SignedInVisit>): void {
  formRoute(server, desk, path, async (here, fields, req, res) => {
    if (here.person) await handler({ ...here, person: here.person }, fields, req, res);
  });
}
