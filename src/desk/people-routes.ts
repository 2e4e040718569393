import type { Request, Response, Server } from 'restify';
import { get } from '#src/http/routes.ts';
import type { AuditAction } from '#src/store/audit.ts';
import type { Changed } from '#src/store/people.ts';
import { readAccess } from './access-form.ts';
import { baseUrl } from './base-url.ts';
import { signedInForm } from './form-route.ts';
import { paths } from './paths.ts';
import { linkPage, type PeopleProblem, type PeopleView, peoplePage, personPage } from './people-pages.ts';
import { newToken, tokenHash } from './secrets.ts';
import { MAX_NAME_LENGTH } from './sign-in.ts';
import { messagePage } from './sign-in-pages.ts';
import { type Desk, type Visit, visit } from './visit.ts';

const LINK_HOURS = 72;

/** Coordinators invite people, say what each may do and see, and close accounts. */
export function registerPeople(server: Server, desk: Desk): void {
  const { deps, voice, live } = desk;
  const { people, events, audit } = deps.store;

  async function showPeople(here: Visit, status: number, left: Pick<PeopleView, 'typed' | 'problem'> = {}) {
    const view = { people: await people.list(), events: await events.list(), ...left };
    here.show(status, (viewer) => peoplePage(voice, viewer, view));
  }

  async function showPerson(here: Visit, id: string, problem?: PeopleProblem, saved = false): Promise<void> {
    const person = await people.byId(id);
    const back = { href: paths.people, text: voice.say('people.back') };
    if (!person)
      return here.show(404, () => messagePage(voice.say('people.missing'), voice.say('people.missingWhy'), back));
    const all = await events.list();
    here.show(problem ? 422 : 200, (viewer) =>
      personPage(voice, viewer, { person, events: all, saved, ...(problem && { problem }) }),
    );
  }

  /** Makes a link with which somebody chooses a password, and shows it this once. */
  async function giveLink(here: Visit, id: string, name: string): Promise<void> {
    const token = newToken();
    await people.keepLink(id, tokenHash(token), LINK_HOURS * 60 * 60 * 1000);
    here.show(200, () => linkPage(voice, name, `${baseUrl(server, deps)}${paths.passwordLink(token)}`, LINK_HOURS));
  }

  get(server, paths.people, async (req: Request, res: Response) => showPeople(await visit(desk, req, res), 200));

  get(server, '/desk/people/:id', async (req: Request, res: Response) =>
    showPerson(await visit(desk, req, res), String(req.params.id)),
  );

  signedInForm(server, desk, paths.people, async (here, fields) => {
    const name = (fields.get('name') ?? '').trim();
    const access = readAccess(fields);
    const given = { name, access: access ?? ({ role: 'technician', eventIds: null } as const) };
    const again = (problem: PeopleProblem) => showPeople(here, 422, { typed: given, problem });
    if (name === '' || [...name].length > MAX_NAME_LENGTH) return again('nameMissing');
    if (!access) return again('incomplete');
    const person = await people.add({ name, ...access });
    if (person === 'taken') return again('nameTaken');
    await audit.note({ accountId: here.person.accountId, action: 'account-invited', subject: person.id });
    await giveLink(here, person.id, person.name);
  });

  signedInForm(server, desk, '/desk/people/:id', async (here, fields, req) => {
    const id = String(req.params.id);
    const { accountId } = here.person;
    const done = async (changed: Changed, action: AuditAction): Promise<void> => {
      if (changed === 'last-coordinator') return showPerson(here, id, 'last-coordinator');
      if (changed === 'missing') return showPerson(here, id);
      await audit.note({ accountId, action, subject: id });
      if (action === 'account-disabled') live.recheck();
      await showPerson(here, id, undefined, true);
    };
    const does = fields.get('does');
    if (does === 'change') {
      const access = readAccess(fields);
      if (!access) return showPerson(here, id, 'incomplete');
      return done(await people.change(id, access), 'account-changed');
    }
    if (does === 'disable') return done(await people.setDisabled(id, true), 'account-disabled');
    if (does === 'enable') return done(await people.setDisabled(id, false), 'account-enabled');
    const person = await people.byId(id);
    if (does !== 'link' || !person || person.disabled) return showPerson(here, id);
    await audit.note({ accountId, action: 'password-link-made', subject: id });
    await giveLink(here, id, person.name);
  });
}
