import type { Request, Response, Server } from 'restify';
import { get } from '#src/http/routes.ts';
import { formRoute } from './form-route.ts';
import { html, typed } from './html.ts';
import { keptForm } from './kept.ts';
import { type PageParts, tokenField, type Viewer } from './page.ts';
import { paths } from './paths.ts';
import { tokenHash } from './secrets.ts';
import { messagePage } from './sign-in-pages.ts';
import { type Desk, visit } from './visit.ts';
import type { Voice } from './voice.ts';

/** Fields that say nothing to a person. */
const TECHNICAL =
  /^(?:does|from|line|next|link|id|which|kept|path|stage|child|finding|topic|clear|why|version|keep|timed|holder)$/;

interface Kept {
  readonly token: string;
  readonly path: string;
  readonly fields: URLSearchParams;
}

/** The form once more, with what was typed, under a token of the new session: one button sends it. */
function keptPage(voice: Voice, viewer: Viewer, { token, path, fields }: Kept): PageParts {
  const said = [...fields].filter(([name, value]) => !TECHNICAL.test(name) && value.trim() !== '');
  return {
    title: voice.say('kept.title'),
    main: html`<section class="narrow">
      <h1>${voice.say('kept.title')}</h1>
      <p>${voice.say('kept.how')}</p>
      <ul>${said.map(([, value]) => html`<li class="kept">${typed(value)}</li>`)}</ul>
      <form method="post" action="${path}" class="fields">${tokenField(viewer)}
        <input type="hidden" name="kept" value="${token}">
        ${[...fields].map(([name, value]) => html`<input type="hidden" name="${name}" value="${value}">`)}
        <button type="submit">${voice.say('kept.send')}</button>
      </form>
      <form method="post" action="${paths.kept}" class="fields">${tokenField(viewer)}
        <button type="submit" class="quiet">${voice.say('kept.drop')}</button>
      </form>
    </section>`,
  };
}

/** Finishing, or giving up, a form that was sent after its session had run out. */
export function registerKept(server: Server, desk: Desk): void {
  const { voice, deps, cookies } = desk;
  const back = { href: paths.list, text: voice.say('page.back') };

  get(server, paths.kept, async (req: Request, res: Response) => {
    const here = await visit(desk, req, res);
    const kept = await keptForm(desk, here, req);
    if (!kept) return here.show(410, () => messagePage(voice.say('kept.none'), voice.say('kept.noneWhy'), back));
    here.show(200, (viewer) => keptPage(voice, viewer, kept));
  });

  formRoute(server, desk, paths.kept, async (here, _fields, req) => {
    const kept = await keptForm(desk, here, req);
    if (kept) await deps.store.keptForms.drop(tokenHash(kept.token));
    here.goTo(paths.list, [cookies.kept.clear()]);
  });
}
