import type { CheckEvent } from '#src/store/events.ts';
import { mayCoordinate } from '../access.ts';
import { type Html, html, typed } from '../html.ts';
import type { Viewer } from '../page.ts';
import { paths } from '../paths.ts';
import type { Voice } from '../voice.ts';
import { whenWords } from './event-words.ts';

type Here = 'board' | 'edit' | 'stock';

/** The head of an event's pages: what it is, and the way to the others. */
export function eventHead(voice: Voice, viewer: Viewer, event: CheckEvent, here: Here): Html {
  const link = (path: string, words: string, current = false) =>
    current
      ? html`<a class="tap" href="${path}" aria-current="page">${words}</a>`
      : html`<a class="tap" href="${path}">${words}</a>`;
  return html`<p><a class="tap" href="${paths.events}">${voice.say('event.back')}</a></p>
    <h1>${typed(event.name)}</h1>
    <p>${whenWords(voice, event)} · ${typed(event.place)}</p>
    <nav class="event-menu" aria-label="${voice.say('event.menu')}">
      ${link(paths.event(event.id), voice.say('board.open'), here === 'board')}
      ${
        viewer.person &&
        mayCoordinate(viewer.person) &&
        html`${link(paths.editEvent(event.id), voice.say('event.change'), here === 'edit')}
        ${link(paths.stock(event.id), voice.say('stock.heading'), here === 'stock')}`
      }
      ${link(paths.poster(event.id), voice.say('poster.open'))}
      ${link(`${paths.reports}?event=${encodeURIComponent(event.id)}`, voice.say('report.title'))}
    </nav>`;
}
