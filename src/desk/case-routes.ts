import { randomUUID } from 'node:crypto';
import type { Request, Response, Server } from 'restify';
import { get } from '#src/http/routes.ts';
import type { AuditAction } from '#src/store/audit.ts';
import { type Beside, casePage } from './case-page.ts';
import { type CaseView, caseView } from './case-view.ts';
import { listPage, PAGE_SIZE } from './list-page.ts';
import { readListQuery } from './list-query.ts';
import { otherCarsOf } from './other-cars.ts';
import type { PageParts } from './page.ts';
import { paths } from './paths.ts';
import { photosPart } from './photos/photos-part.ts';
import { printPage } from './print-page.ts';
import { messagePage } from './sign-in-pages.ts';
import { type ThreadGlance, threadPart } from './thread-part.ts';
import { type Desk, sendToSignIn, type Visit, visit } from './visit.ts';

type SignedInVisit = Visit & { readonly person: NonNullable<Visit['person']> };

/** The list, one case, and its print view: for people who are signed in, each view of a case written down. */
export function registerCases(server: Server, desk: Desk): void {
  const { deps, voice } = desk;
  const { store, words } = deps;

  const signedIn = (path: string, handler: (here: SignedInVisit, req: Request) => Promise<void>) =>
    get(server, path, async (req: Request, res: Response) => {
      const here = await visit(desk, req, res);
      if (!here.person) return sendToSignIn(here, req);
      await handler({ ...here, person: here.person }, req);
    });

  signedIn(paths.list, async (here, req) => {
    const asked = readListQuery(req.getQuery());
    const within = { eventIds: here.person.eventIds };
    const query = { ...asked, filter: { ...asked.filter, ...within } };
    const { priority: _priority, complete: _complete, person: _person, ...around } = query.filter;
    const [found, counts, { languages, eventIds }, events] = [
      await store.cases.list({ ...query, from: query.from ?? undefined, pageSize: PAGE_SIZE }),
      await store.cases.counts(around),
      await store.cases.choices(within.eventIds),
      await store.events.list(),
    ];
    const nameOf = (id: string) => events.find((event) => event.id === id)?.name ?? id;
    const choices = { languages, events: eventIds.map((id) => ({ id, name: nameOf(id) })) };
    here.show(200, () => listPage(voice, { found, query: asked, counts, choices }));
  });

  /** The conversation of a case; null where it was deleted. */
  async function glanceAt(reference: string, conversationId: string): Promise<ThreadGlance | null> {
    const stored = await store.conversations.load(conversationId);
    if (!stored || stored.state === 'deleted') return null;
    const lines = await store.conversations.thread(conversationId, 0);
    return { reference, language: stored.language, lines, newId: randomUUID() };
  }

  const oneCase = (path: string, action: AuditAction, build: (view: CaseView, beside: Beside) => PageParts) =>
    signedIn(path, async (here, req) => {
      const reference = String(req.params.reference);
      const back = { href: paths.list, text: voice.say('page.back') };
      const found = await store.cases.byReference(reference);
      if (found.state === 'missing')
        return here.show(404, () =>
          messagePage(voice.say('problem.missingTitle'), voice.say('problem.missing', { reference }), back),
        );
      await store.audit.note({ accountId: here.person.accountId, action, subject: reference });
      if (found.state === 'unreadable')
        return here.show(500, () =>
          messagePage(voice.say('problem.unreadableTitle'), voice.say('problem.unreadable', { reference }), back),
        );
      const { summary } = found;
      const event = summary.event === null ? null : await store.events.byId(summary.event);
      const view = caseView(summary, event, words, voice.language);
      const known = { reference, conversationId: found.conversationId };
      const onScreen = action === 'case-viewed';
      const glance = onScreen ? await glanceAt(reference, found.conversationId) : null;
      const photos = onScreen ? photosPart(view, await store.photos.of(reference)) : null;
      const otherCars = await otherCarsOf(store.cases, known);
      here.show(200, (viewer) =>
        build(view, { thread: glance && threadPart(voice, viewer, glance), photos, otherCars }),
      );
    });

  oneCase('/desk/cases/:reference', 'case-viewed', casePage);
  oneCase('/desk/cases/:reference/print', 'case-printed', (view) => printPage(view));
}
