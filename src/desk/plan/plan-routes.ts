import type { Request, Response, Server } from 'restify';
import { arrange, tooLarge } from '#shared/arrange.ts';
import { withUsualPlaces } from '#shared/arranging/usual-places.ts';
import { queryValue } from '#src/http/respond.ts';
import { get } from '#src/http/routes.ts';
import { caseNames } from '../case-names.ts';
import { paths } from '../paths.ts';
import { loadRecord } from '../record/load-record.ts';
import { messagePage } from '../sign-in-pages.ts';
import { type Desk, sendToSignIn, visit } from '../visit.ts';
import { FEW, MORE, planPage } from './plan-page.ts';

/** The seating plans of a case, over the facts as the technicians know them; locks stand in the address, nothing is stored. */
export function registerPlan(server: Server, desk: Desk): void {
  const { deps, voice } = desk;
  get(server, '/desk/cases/:reference/plan', async (req: Request, res: Response) => {
    const here = await visit(desk, req, res);
    if (!here.person) return sendToSignIn(here, req);
    const reference = String(req.params.reference);
    const loaded = await loadRecord(deps, reference, voice.language);
    const back = { href: paths.list, text: voice.say('page.back') };
    if (loaded.state === 'gone')
      return here.show(410, () =>
        messagePage(voice.say('record.goneTitle'), voice.say('record.gone', { reference }), back),
      );
    await deps.store.audit.note({ accountId: here.person.accountId, action: 'case-viewed', subject: reference });
    if (loaded.state === 'unreadable')
      return here.show(500, () =>
        messagePage(voice.say('problem.unreadableTitle'), voice.say('problem.unreadable', { reference }), back),
      );
    const { family, added } = withUsualPlaces(loaded.view.summary.case);
    const ids = new Set(family.vehicle?.positions?.map(({ id }) => id));
    const locks = Object.fromEntries(
      family.children.flatMap(({ id }, i) => {
        const place = queryValue(req, `at-${i}`);
        return place !== null && ids.has(place) ? [[id, place]] : [];
      }),
    );
    const own = loaded.view.voice;
    here.show(200, () =>
      planPage({
        reference,
        voice: own,
        names: caseNames(family, own),
        family,
        undescribed: added,
        locks,
        found: tooLarge(family) ? null : arrange(family, { locks }),
        shown: queryValue(req, 'show') === 'more' ? MORE : FEW,
      }),
    );
  });
}
