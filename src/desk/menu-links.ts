import type { Access } from '#src/store/people.ts';
import { mayCoordinate } from './access.ts';
import { type Html, html } from './html.ts';
import { paths } from './paths.ts';
import type { DeskKey, Voice } from './voice.ts';

interface MenuLink {
  readonly path: string;
  readonly words: DeskKey;
  /** Who finds it in the menu; everybody if left out. The route's own rule keeps others out. */
  readonly may?: (person: Access) => boolean;
}

const LINKS: readonly MenuLink[] = [
  { path: paths.list, words: 'page.cases' },
  { path: paths.events, words: 'event.title' },
  { path: paths.reports, words: 'report.title' },
  { path: paths.undelivered, words: 'undelivered.title', may: mayCoordinate },
  { path: paths.people, words: 'page.people', may: mayCoordinate },
  { path: paths.usage, words: 'usage.title', may: mayCoordinate },
];

/** The desk's menu, for what somebody may open. */
export const menuLinks = (voice: Voice, person: Access): Html =>
  html`<nav aria-label="${voice.say('page.menu')}">${LINKS.filter(({ may }) => may?.(person) ?? true).map(
    ({ path, words }) => html`<a class="tap" href="${path}">${voice.say(words)}</a>`,
  )}</nav>`;
