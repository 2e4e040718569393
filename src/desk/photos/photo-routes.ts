import type { Request, Response, Server } from 'restify';
import { send } from '#src/http/respond.ts';
import { get } from '#src/http/routes.ts';
import type { KeptPhoto } from '#src/store/photos.ts';
import { type CaseView, caseView } from '../case-view.ts';
import { type SignedInVisit, signedInForm } from '../form-route.ts';
import { paths } from '../paths.ts';
import { messagePage } from '../sign-in-pages.ts';
import { type Desk, type Visit, visit } from '../visit.ts';
import { photoPage } from './photo-page.ts';

/** Kept by nobody between, shown nowhere else, and never taken for anything but a picture. */
const HEADERS = {
  'Cache-Control': 'no-store',
  'Content-Disposition': 'inline; filename="label.jpg"',
  'Content-Security-Policy': "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
  'Cross-Origin-Resource-Policy': 'same-origin',
  'X-Content-Type-Options': 'nosniff',
};

interface Found {
  readonly conversationId: string;
  readonly photo: KeptPhoto;
  readonly view: CaseView;
}

/** A family's photos: each is looked at by people who see its case, which is written down, and deleted by those who work. */
export function registerPhotos(server: Server, desk: Desk): void {
  const { deps, voice } = desk;
  const { store, words } = deps;
  const path = '/desk/cases/:reference/photos/:photo';

  /** A photo by the address alone, so that one of another family is not found. */
  async function find(req: Request): Promise<Found | null> {
    const found = await store.cases.byReference(String(req.params.reference));
    if (found.state !== 'found') return null;
    const { summary, conversationId } = found;
    const photo = (await store.photos.of(summary.reference)).find(({ id }) => id === req.params.photo);
    if (!photo) return null;
    const event = summary.event === null ? null : await store.events.byId(summary.event);
    return { conversationId, photo, view: caseView(summary, event, words, voice.language) };
  }

  const gone = (here: Visit, req: Request) =>
    here.show(404, () =>
      messagePage(voice.say('photo.goneTitle'), voice.say('photo.gone'), {
        href: paths.case(String(req.params.reference)),
        text: voice.say('page.backToCase'),
      }),
    );

  const note = ({ person }: SignedInVisit, action: 'photo-viewed' | 'photo-deleted', req: Request) =>
    store.audit.note({ accountId: person.accountId, action, subject: String(req.params.reference) });

  get(server, path, async (req: Request, res: Response) => {
    const here = await visit(desk, req, res);
    const found = await find(req);
    if (!found) return gone(here, req);
    here.show(200, (viewer) => photoPage(found.view, found.photo, viewer));
  });

  /** The small one is part of the case's page, whose view is written down; the address of neither can be guessed. */
  const picture = (size: 'whole' | 'small') => async (req: Request, res: Response) => {
    const { person, ...here } = await visit(desk, req, res);
    const found = await find(req);
    const jpeg = found && (await store.photos.picture(found.conversationId, found.photo.id, size));
    if (!jpeg || !person) return send(res, 404, 'text/plain; charset=utf-8', '', HEADERS);
    if (size === 'whole') await note({ ...here, person }, 'photo-viewed', req);
    send(res, 200, 'image/jpeg', jpeg, HEADERS);
  };
  get(server, `${path}/picture`, picture('whole'));
  get(server, `${path}/small`, picture('small'));

  signedInForm(server, desk, path, async (here, _fields, req) => {
    const found = await find(req);
    if (!found || !(await store.photos.remove(found.conversationId, found.photo.id))) return gone(here, req);
    await note(here, 'photo-deleted', req);
    here.goTo(`${paths.case(found.view.summary.reference)}#photos`);
  });
}
