import { randomUUID } from 'node:crypto';
import type { Request, Response, Server } from 'restify';
import { misfitting } from '#shared/events/free-times.ts';
import { workload } from '#shared/events/workload.ts';
import { get } from '#src/http/routes.ts';
import { textDirection } from '#src/page/direction.ts';
import { ARRIVAL_STATES, type Arrival, type ArrivalState } from '#src/store/arrival-lines.ts';
import { type CheckEvent, heldOf } from '#src/store/events.ts';
import { baseUrl } from '../base-url.ts';
import { signedInForm } from '../form-route.ts';
import { paths } from '../paths.ts';
import { type Desk, type Visit, visit } from '../visit.ts';
import { type BoardView, boardPage, interviewPage, TOLD, type Told } from './board-page.ts';
import { byName } from './event-words.ts';
import { noEvent } from './no-event.ts';
import { noWalkIn, readWalkIn, type WalkInFields, walkInIsGood } from './walk-in-fields.ts';

/** So many families stand in one part of the board; of more it says so. */
const MOST_LINES = 100;

const isState = (text: string | null): text is ArrivalState => ARRIVAL_STATES.some((state) => state === text);

/** The address of the family's own interview, which the walk-in's line hears of. */
export const interviewAddress = (
  base: string,
  eventId: string,
  { id, language }: Pick<Arrival, 'id' | 'language'>,
): string => `${base}/?${new URLSearchParams({ event: eventId, lang: language, walkin: id })}`;

/** The board of an event: who comes, is there and is done, and with whom. */
export function registerBoard(server: Server, desk: Desk): void {
  const { deps, voice } = desk;
  const { events, arrivals, board, people } = deps.store;
  const languages = byName(voice, deps.words.languages);

  /** Those among the lines whose times do not fit the event any more. */
  function misfitsOf(event: CheckEvent, lines: readonly Arrival[]): ReadonlySet<string> {
    const held = heldOf(event);
    const timed = lines.flatMap((one) => (one.start === null ? [] : [{ ...one, start: one.start }]));
    if (!held) return new Set(timed.map(({ id }) => id));
    const { outside, tooMany } = misfitting(held, timed);
    return new Set([...outside, ...tooMany].map(({ id }) => id));
  }

  async function load(event: CheckEvent): Promise<Omit<BoardView, 'voice' | 'viewer' | 'told' | 'walkIn'>> {
    const list = (states: readonly ArrivalState[], order: 'urgency' | 'time' | 'latest') =>
      arrivals.list(event.id, { pageSize: MOST_LINES, page: 0, states, order });
    const [here, expected, over, unbooked, counts, needed, all] = await Promise.all([
      list(['arrived'], 'urgency'),
      list(['booked'], 'time'),
      list(['done', 'no-show'], 'latest'),
      board.unbooked(event.id, MOST_LINES),
      arrivals.counts(event.id),
      board.needed(event.id),
      people.list(),
    ]);
    const held = heldOf(event);
    return {
      event,
      here,
      expected,
      over,
      unbooked,
      counts,
      workload: held && workload(held, needed),
      names: new Map(all.map(({ id, name }) => [id, name])),
      misfits: misfitsOf(event, [...here.arrivals, ...expected.arrivals]),
      languages,
    };
  }

  async function show(here: Visit, event: CheckEvent, told: Told | null, typed?: WalkInFields): Promise<void> {
    const loaded = await load(event);
    const walkIn = { fields: typed ?? noWalkIn(event.languages[0] ?? voice.language), problem: typed !== undefined };
    here.show(typed ? 422 : 200, (viewer) => boardPage({ ...loaded, voice, viewer, told, walkIn }));
  }

  get(server, '/desk/events/:id', async (req: Request, res: Response) => {
    const here = await visit(desk, req, res);
    const event = await events.byId(String(req.params.id));
    if (!event || !here.person) return noEvent(desk, here);
    const asked = new URLSearchParams(req.getQuery()).get('told');
    await show(here, event, TOLD.find((one) => one === asked) ?? null);
  });

  const backTo = (here: Visit, eventId: string, told: Told | null, line?: string): void =>
    here.goTo(`${paths.event(eventId)}${told ? `?told=${told}` : ''}${line && !told ? `#a-${line}` : ''}`);

  signedInForm(server, desk, '/desk/events/:id/walk-ins', async (here, sent, req) => {
    const event = await events.byId(String(req.params.id));
    if (!event) return noEvent(desk, here);
    const fields = readWalkIn(sent, languages);
    if (!walkInIsGood(fields)) return show(here, event, null, fields);
    const { who: name, language, minutes } = fields;
    const interpreter = event.languages.length > 0 && !event.languages.includes(language);
    const id = randomUUID();
    await arrivals.addWalkIn(event.id, { id, name, language, interpreter, minutes, start: null });
    here.goTo(paths.arrival(event.id, id));
  });

  signedInForm(server, desk, '/desk/events/:id/come', async (here, sent, req) => {
    const eventId = String(req.params.id);
    const come = await board.come(eventId, sent.get('reference') ?? '');
    backTo(here, eventId, come === 'missing' ? 'missing' : come === 'already' ? 'stale' : null);
  });

  signedInForm(server, desk, '/desk/events/:id/arrivals/:arrival', async (here, sent, req) => {
    const [eventId, id] = [String(req.params.id), String(req.params.arrival)];
    const [does, from] = [sent.get('does'), sent.get('from')];
    if (does === 'take' || does === 'release') {
      const holder = sent.get('holder') || null;
      const taken = await board.assign(eventId, id, holder, does === 'take' ? here.person.accountId : null);
      return backTo(here, eventId, taken === 'taken' ? null : taken, id);
    }
    if (!isState(from) || !isState(does) || does === 'booked') return backTo(here, eventId, null, id);
    const marked = await arrivals.mark(eventId, id, from, does);
    backTo(here, eventId, marked === 'marked' ? null : marked, id);
  });

  get(server, '/desk/events/:id/arrivals/:arrival', async (req: Request, res: Response) => {
    const here = await visit(desk, req, res);
    const event = await events.byId(String(req.params.id));
    const line = event && (await arrivals.line(event.id, String(req.params.arrival)));
    if (!event || !line?.walkIn) return noEvent(desk, here);
    const { name } = line.walkIn;
    const address = interviewAddress(baseUrl(server, deps), event.id, line);
    const scan = deps.words.say(line.language, 'poster')('scan');
    here.show(200, (viewer) =>
      interviewPage({
        voice,
        viewer,
        event,
        name,
        language: line.language,
        address,
        scan,
        direction: textDirection(line.language),
      }),
    );
  });
}
