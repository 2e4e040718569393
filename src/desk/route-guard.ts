import type { Request, Response, Server } from 'restify';
import { routeOf } from '#src/http/errors.ts';
import { send } from '#src/http/respond.ts';
import type { Access } from '#src/store/people.ts';
import { mayCoordinate, mayWork, seesEvent } from './access.ts';
import { keepForm } from './kept.ts';
import { paths } from './paths.ts';
import { type Needs, ruleOf } from './route-rules.ts';
import { messagePage } from './sign-in-pages.ts';
import { type Desk, sendToSignIn, visit } from './visit.ts';

const allows = (needs: Needs, person: Access): boolean => {
  if (needs === 'coordinate') return mayCoordinate(person);
  return needs === 'work' ? mayWork(person) : true;
};

/** Answers every request to the desk that its rule does not allow; gives whether it may go on to its handler. */
async function mayGoOn(desk: Desk, req: Request, res: Response): Promise<boolean> {
  const { voice, deps } = desk;
  const rule = ruleOf(req.method ?? '', routeOf(req));
  if (rule?.needs === 'anyone') return true;
  const here = await visit(desk, req, res);
  const { person } = here;
  const bareAnswer = rule?.answers === 'data' || (req.headers.accept ?? '').includes('application/json');
  const bare = (status: number): false => {
    send(res, status, 'text/plain; charset=utf-8', '', { 'Cache-Control': 'no-store' });
    return false;
  };
  if (!person) {
    if (bareAnswer) return bare(401);
    const kept = await keepForm(desk, req);
    if (kept) here.goTo(`${paths.signIn}?next=${encodeURIComponent(paths.kept)}`, [kept]);
    else sendToSignIn(here, req);
    return false;
  }
  const refuse = (status: number, title: string, text: string): false => {
    if (bareAnswer) return bare(status);
    here.show(status, () => messagePage(title, text, { href: paths.list, text: voice.say('page.back') }));
    return false;
  };
  if (!rule || !allows(rule.needs, person)) {
    await deps.store.audit.note({ accountId: person.accountId, action: 'refused', subject: null });
    const key = rule?.needs === 'coordinate' ? 'access.coordinate' : 'access.work';
    return refuse(403, voice.say('access.title'), voice.say(key, { role: voice.name('role', person.role) }));
  }
  if (rule.about && person.eventIds !== null) {
    const named = String(req.params[rule.about.part]);
    const found = rule.about.kind === 'event' ? { eventId: named } : await deps.store.cases.eventOf(named);
    // A family of another event is answered like one that is not there. What is not there is for the handler to say.
    if (found && !seesEvent(person, found.eventId))
      return refuse(404, voice.say('problem.missingTitle'), voice.say('problem.missing', { reference: named }));
  }
  return true;
}

/** The one place where the desk decides who may open what. It runs before every handler, and knows the route that matched. */
export function guardRoutes(server: Server, desk: Desk): void {
  server.use((req, res, next) => {
    if (!/^\/desk(?:\/|$)/.test(routeOf(req))) return next();
    mayGoOn(desk, req, res).then(
      (goesOn) => next(goesOn ? undefined : false),
      (error: unknown) => next(error),
    );
  });
}
