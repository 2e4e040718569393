import type { Request, Response, Server } from 'restify';
import { teamCalendar } from '#src/events/team-calendar.ts';
import { send, sendError } from '#src/http/respond.ts';
import { get } from '#src/http/routes.ts';
import type { Access } from '#src/store/people.ts';
import { baseUrl } from '../base-url.ts';
import { signedInForm } from '../form-route.ts';
import { paths } from '../paths.ts';
import { newToken, tokenHash } from '../secrets.ts';
import { type Desk, visit } from '../visit.ts';
import { calendarPage } from './calendar-page.ts';

const HEADERS = {
  'Cache-Control': 'no-store',
  'Content-Disposition': 'attachment; filename="seat-checks.ics"',
  'X-Content-Type-Options': 'nosniff',
  'X-Robots-Tag': 'noindex',
};

/** Technicians' calendar files: for whoever is signed in, and behind a private link until it is closed. */
export function registerTeamCalendar(server: Server, desk: Desk): void {
  const { deps, voice } = desk;
  const { store } = deps;

  async function sendFile(res: Response, accountId: string, { eventIds }: Pick<Access, 'eventIds'>): Promise<void> {
    const words = {
      title: voice.say('page.product'),
      family: (reference: string | null, minutes: number) =>
        `${reference ?? voice.say('calendar.unnamed')}, ${voice.say('list.minutes', { count: minutes })}`,
    };
    const file = await teamCalendar(store, { accountId, eventIds }, words, deps.clock());
    send(res, 200, 'text/calendar; charset=utf-8', file, HEADERS);
  }

  get(server, paths.calendar, async (req: Request, res: Response) => {
    const here = await visit(desk, req, res);
    if (!here.person) return;
    const since = await store.teamCalendars.since(here.person.accountId);
    here.show(200, (viewer) => calendarPage(voice, viewer, { since }));
  });

  get(server, paths.calendarFile, async (req: Request, res: Response) => {
    const { person } = await visit(desk, req, res);
    if (person) await sendFile(res, person.accountId, person);
  });

  signedInForm(server, desk, paths.calendar, async (here, fields) => {
    const { accountId } = here.person;
    if (fields.get('does') === 'close') {
      await store.teamCalendars.close(accountId);
      await store.audit.note({ accountId, action: 'calendar-link-closed', subject: accountId });
      return here.show(200, (viewer) => calendarPage(voice, viewer, { since: null, closed: true }));
    }
    const token = newToken();
    await store.teamCalendars.keep(accountId, tokenHash(token));
    await store.audit.note({ accountId, action: 'calendar-link-made', subject: accountId });
    const since = await store.teamCalendars.since(accountId);
    const link = `${baseUrl(server, deps)}${paths.privateCalendar(token)}`;
    here.show(200, (viewer) => calendarPage(voice, viewer, { since, link }));
  });

  get(server, paths.privateCalendar(':token'), async (req: Request, res: Response) => {
    const accountId = await store.teamCalendars.accountOf(tokenHash(String(req.params.token)));
    const person = accountId === null ? null : await store.people.byId(accountId);
    if (accountId === null || !person || person.role === 'read-only')
      return sendError(res, 404, 'NotFound', 'There is no calendar at this address any more.');
    await sendFile(res, accountId, person);
  });
}
