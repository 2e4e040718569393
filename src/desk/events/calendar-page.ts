import { html } from '../html.ts';
import { type PageParts, tokenField, type Viewer } from '../page.ts';
import { paths } from '../paths.ts';
import type { Voice } from '../voice.ts';

export interface CalendarView {
  /** Since when there is a link (ISO 8601); null: there is none. */
  readonly since: string | null;
  /** The link that was just made; it is shown this once. */
  readonly link?: string;
  readonly closed?: boolean;
}

/** Somebody's own calendar file: to be loaded once, or by a private link that a calendar reads again and again. */
export function calendarPage(voice: Voice, viewer: Viewer, { since, link, closed }: CalendarView): PageParts {
  const form = (does: 'make' | 'close', words: string, quiet: boolean) =>
    html`<form method="post" action="${paths.calendar}" class="fields">${tokenField(viewer)}<input type="hidden" name="does" value="${does}">
      <button type="submit"${quiet && html` class="quiet"`}>${words}</button></form>`;
  return {
    title: voice.say('calendar.title'),
    main: html`<p><a class="tap" href="${paths.events}">${voice.say('event.back')}</a></p>
    <h1>${voice.say('calendar.title')}</h1>
    <p>${voice.say('calendar.how')}</p>
    <p><a class="button" href="${paths.calendarFile}" download>${voice.say('calendar.load')}</a></p>
    <section aria-labelledby="private-link"><h2 id="private-link">${voice.say('calendar.link')}</h2>
      <p>${voice.say('calendar.linkHow')}</p>
      ${closed && html`<p class="notice" role="status">${voice.say('calendar.closed')}</p>`}
      ${
        link &&
        html`<div class="fields"><label for="link">${voice.say('calendar.link')}</label><input id="link" type="text" readonly value="${link}"></div>
      <p class="notice" role="status">${voice.say('calendar.once')}</p>`
      }
      ${since !== null && !link && html`<p>${voice.say('calendar.since', { when: voice.measures.instant(since, 'UTC') })}</p>`}
      ${form('make', voice.say(since === null ? 'calendar.make' : 'calendar.anew'), since !== null)}
      ${since !== null && form('close', voice.say('calendar.close'), true)}
    </section>`,
  };
}
