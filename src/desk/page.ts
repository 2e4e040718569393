import type { SignedIn } from '#src/store/sessions.ts';
import { assetPath } from './assets.ts';
import { type Html, html } from './html.ts';
import { menuLinks } from './menu-links.ts';
import { paths } from './paths.ts';
import type { Voice } from './voice.ts';

/** Who looks at a page, and the token its forms carry. */
export interface Viewer {
  readonly person: SignedIn | null;
  readonly formToken: string;
}

export interface PageParts {
  readonly title: string;
  readonly main: Html;
  /** `print`: a page laid out for paper, without the menu. */
  readonly layout?: 'desk' | 'print';
  /** What stands here was seen by a technician too, not only reported. */
  readonly seen?: boolean;
}

const STYLES = {
  desk: [
    'base.css',
    'forms.css',
    'list.css',
    'filter.css',
    'facts.css',
    'case.css',
    'drawings.css',
    'plan.css',
    'admin.css',
    'paper.css',
  ],
  print: ['print.css', 'drawings.css'],
} as const;

/** The hidden field that every form carries. */
export const tokenField = (viewer: Viewer): Html =>
  html`<input type="hidden" name="token" value="${viewer.formToken}">`;

const menu = (voice: Voice, viewer: Viewer): Html =>
  html`<header class="bar">
    <a class="product tap" href="${paths.list}">${voice.say('page.product')}</a>
    ${
      viewer.person &&
      html`${menuLinks(voice, viewer.person)}
      <form method="post" action="${paths.signOut}" class="who">
        ${tokenField(viewer)}
        <span>${voice.say('page.signedInAs', { name: viewer.person.name })}</span>
        <button type="submit" class="quiet">${voice.say('page.signOut')}</button>
      </form>`
    }
  </header>`;

/** The cautions that stand wherever advice is shown. */
export const cautions = (voice: Voice, seen = false): Html =>
  html`<footer class="cautions">
    <h2>${voice.say('caution.heading')}</h2>
    <ul>
      <li>${voice.say(seen ? 'caution.manualsOnly' : 'caution.manuals')}</li>
      <li>${voice.say('caution.never')}</li>
      <li>${voice.say('caution.emergency')}</li>
      <li>${voice.say('caution.special')}</li>
    </ul>
  </footer>`;

/** A whole page. It works without scripts; the one script there is adds convenience only. */
export function page(voice: Voice, viewer: Viewer, { title, main, layout = 'desk', seen = false }: PageParts): Html {
  const onScreen = layout === 'desk';
  return html`<!doctype html>
<html lang="${voice.language}">
<head>
  <meta charset="utf-8">
  <meta name="viewport" content="width=device-width, initial-scale=1">
  <meta name="color-scheme" content="${onScreen ? 'light dark' : 'light'}">
  <meta name="robots" content="noindex">
  <title>${title} · ${voice.say('page.product')}</title>
  ${STYLES[layout].map((name) => html`<link rel="stylesheet" href="${assetPath(name)}">`)}
  <script src="${assetPath('desk.js')}" defer></script>
</head>
<body class="${layout}">
  <a class="skip" href="#content">${voice.say('page.skip')}</a>
  ${onScreen && menu(voice, viewer)}
  <main id="content" tabindex="-1">${main}</main>
  ${onScreen && viewer.person && cautions(voice, seen)}
</body>
</html>`;
}
