import type { Request, Response, Server } from 'restify';
import { misfitting } from '#shared/events/free-times.ts';
import { get } from '#src/http/routes.ts';
import type { Arrival } from '#src/store/arrival-lines.ts';
import { type CheckEvent, heldOf } from '#src/store/events.ts';
import { mayWork, seesEvent } from '../access.ts';
import { signedInForm } from '../form-route.ts';
import { paths } from '../paths.ts';
import { type Desk, type Visit, visit } from '../visit.ts';
import { emptyFields, eventOf, fieldsOf, newEventId, readEventFields } from './event-fields.ts';
import { type EditView, editEventPage, eventListPage, newEventPage } from './event-pages.ts';
import { byName } from './event-words.ts';
import { noEvent } from './no-event.ts';

/** More families than any event books; those who do not come are told apart among them. */
const MOST_BOOKINGS = 1000;
const ID_TRIES = 5;

/** Time zones to choose from, as this runtime knows them. */
const ZONES: readonly string[] = Intl.supportedValuesOf('timeZone');

/** The list of events; coordinators make and change them. */
export function registerEvents(server: Server, desk: Desk): void {
  const { deps, voice } = desk;
  const { events, arrivals, people, audit } = deps.store;
  const { languages } = deps.words;
  const choices = { languages: byName(voice, languages), zones: ZONES };

  get(server, paths.events, async (req: Request, res: Response) => {
    const here = await visit(desk, req, res);
    const seen = (await events.list()).filter(({ id }) => here.person !== null && seesEvent(here.person, id));
    const today = deps.clock().toISOString().slice(0, 10);
    here.show(200, (viewer) => eventListPage(voice, viewer, { events: seen, today }));
  });

  get(server, paths.newEvent, async (req: Request, res: Response) => {
    const here = await visit(desk, req, res);
    const latest = (await events.list()).at(-1);
    const fields = emptyFields(latest?.timeZone ?? '');
    here.show(200, (viewer) => newEventPage(voice, viewer, { fields, ...choices }));
  });

  signedInForm(server, desk, paths.events, async (here, sent) => {
    const fields = readEventFields(sent, languages);
    const read = eventOf(fields, deps.clock());
    if (!read.ok)
      return here.show(422, (viewer) => newEventPage(voice, viewer, { fields, problems: read.problems, ...choices }));
    for (let tries = 0; tries < ID_TRIES; tries++) {
      const id = newEventId(read.event.name);
      if ((await events.add({ ...read.event, id })) === 'taken') continue;
      await audit.note({ accountId: here.person.accountId, action: 'event-made', subject: id });
      return here.goTo(paths.event(id));
    }
    throw new Error('no id was free for a new event');
  });

  async function showEdit(
    here: Visit,
    status: number,
    view: Omit<EditView, 'form' | 'team'> & { readonly form: Omit<EditView['form'], 'languages' | 'zones'> },
  ): Promise<void> {
    const team = (await people.list()).filter((one) => !one.disabled && mayWork(one) && seesEvent(one, view.event.id));
    here.show(status, (viewer) => editEventPage(voice, viewer, { ...view, team, form: { ...view.form, ...choices } }));
  }

  get(server, '/desk/events/:id/edit', async (req: Request, res: Response) => {
    const here = await visit(desk, req, res);
    const event = await events.byId(String(req.params.id));
    if (!event) return noEvent(desk, here);
    const saved = new URLSearchParams(req.getQuery()).has('saved');
    await showEdit(here, 200, { event, form: { fields: fieldsOf(event) }, state: saved ? 'saved' : 'open' });
  });

  /** The families whose times an event as it is to be could not keep. */
  async function misfitsOf(event: CheckEvent): Promise<NonNullable<EditView['misfits']>> {
    const { arrivals: all } = await arrivals.list(event.id, { pageSize: MOST_BOOKINGS, page: 0 });
    const timed = all.flatMap((one) =>
      one.start === null || one.state === 'no-show' ? [] : [one as Arrival & { readonly start: string }],
    );
    const held = heldOf(event);
    return held ? misfitting(held, timed) : { outside: timed, tooMany: [] };
  }

  signedInForm(server, desk, '/desk/events/:id/edit', async (here, sent, req) => {
    const event = await events.byId(String(req.params.id));
    if (!event) return noEvent(desk, here);
    const fields = readEventFields(sent, languages);
    const read = eventOf(fields, deps.clock(), event.heldOn);
    if (!read.ok)
      return showEdit(here, 422, {
        // The version that this person has read stays, so that what others saved is not passed over.
        event: { ...event, version: Number(sent.get('version')) },
        form: { fields, problems: read.problems },
        state: 'open',
      });
    const next = { ...event, ...read.event, version: Number(sent.get('version')) } as CheckEvent;
    const changed = await events.change(next, sent.get('keep') === 'yes');
    if (changed.state === 'missing') return noEvent(desk, here);
    if (changed.state === 'booked')
      return showEdit(here, 409, {
        event: { ...event, version: next.version },
        form: { fields },
        state: 'open',
        misfits: await misfitsOf(next),
      });
    if (changed.state === 'stale') {
      const now = (await events.byId(event.id)) ?? event;
      return showEdit(here, 409, { event: now, form: { fields, saved: fieldsOf(now) }, state: 'stale' });
    }
    await audit.note({ accountId: here.person.accountId, action: 'event-changed', subject: event.id });
    here.goTo(`${paths.editEvent(event.id)}?saved=1`);
  });
}
