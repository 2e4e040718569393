import type { misfitting } from '#shared/events/free-times.ts';
import type { Arrival } from '#src/store/arrival-lines.ts';
import type { CheckEvent } from '#src/store/events.ts';
import type { Person } from '#src/store/people.ts';
import { mayCoordinate, mayWork } from '../access.ts';
import { assetPath } from '../assets.ts';
import { type Html, html, typed } from '../html.ts';
import type { PageParts, Viewer } from '../page.ts';
import { paths } from '../paths.ts';
import type { Voice } from '../voice.ts';
import { type EventForm, eventForm, problemsPart } from './event-form.ts';
import { eventHead } from './event-menu.ts';
import { whenWords } from './event-words.ts';

const styles = (): Html => html`<link rel="stylesheet" href="${assetPath('events.css')}">`;

export interface EventList {
  readonly events: readonly CheckEvent[];
  /** YYYY-MM-DD; events of days before it stand below. */
  readonly today: string;
}

/** The events that somebody sees: those to come first, the next one on top. */
export function eventListPage(voice: Voice, viewer: Viewer, { events, today }: EventList): PageParts {
  const leads = viewer.person !== null && mayCoordinate(viewer.person);
  const line = (event: CheckEvent) => html`<li class="event">
      <h3><a href="${paths.event(event.id)}">${typed(event.name)}</a></h3>
      <p>${whenWords(voice, event)}</p>
      <p class="quietly">${typed(event.place)}</p>
    </li>`;
  const part = (title: string, some: readonly CheckEvent[]) =>
    some.length > 0 && html`<section><h2>${title}</h2><ul class="events">${some.map(line)}</ul></section>`;
  const coming = events.filter(({ heldOn }) => heldOn >= today);
  const past = events.filter(({ heldOn }) => heldOn < today).toReversed();
  return {
    title: voice.say('event.title'),
    main: html`${styles()}<div class="head"><h1>${voice.say('event.title')}</h1></div>
    <p class="ways">${leads && html`<a class="button" href="${paths.newEvent}">${voice.say('event.new')}</a>`}
      ${viewer.person && mayWork(viewer.person) && html`<a class="tap" href="${paths.calendar}">${voice.say('calendar.title')}</a>`}</p>
    ${events.length === 0 && html`<p class="empty">${voice.say('event.none')}</p>`}
    ${part(voice.say('event.coming'), coming)}
    ${part(voice.say('event.past'), past)}`,
  };
}

/** The form for a new event. */
export const newEventPage = (voice: Voice, viewer: Viewer, form: EventForm): PageParts => ({
  title: voice.say('event.new'),
  main: html`${styles()}<p><a class="tap" href="${paths.events}">${voice.say('event.back')}</a></p>
    <h1>${voice.say('event.new')}</h1>
    ${problemsPart(voice, form.problems ?? {})}
    ${eventForm(voice, viewer, form, paths.events, false, voice.say('event.make'))}`,
});

type Misfits = ReturnType<typeof misfitting<Arrival & { readonly start: string }>>;

export interface EditView {
  readonly event: CheckEvent;
  readonly form: EventForm;
  /** `stale`: somebody else saved it meanwhile. */
  readonly state: 'open' | 'saved' | 'stale';
  /** Who may see families at it; coordinators see every event. */
  readonly team: readonly Person[];
  /** Families whose times would not fit; nothing was saved. */
  readonly misfits?: Misfits;
}

const familyOf = (voice: Voice, { family, walkIn }: Arrival): Html | string => {
  if (family) return html`<a href="${paths.thread(family.reference)}">${family.reference}</a>`;
  return walkIn ? typed(walkIn.name) : voice.say('event.unsent');
};

function misfitsPart(voice: Voice, { event }: EditView, { outside, tooMany }: Misfits): Html {
  const families = (title: string, some: Misfits['outside']) =>
    some.length > 0 &&
    html`<p>${title}</p><ul>${some.map(
      (one) =>
        html`<li>${voice.measures.instant(one.start, event.timeZone)}, ${voice.say('list.minutes', { count: one.minutes })}: ${familyOf(voice, one)}</li>`,
    )}</ul>`;
  const count = outside.length + tooMany.length;
  return html`<div class="notice bad" role="alert" id="misfits"><p><b>${voice.say('event.misfits', { count })}</b></p>
    ${families(voice.say('event.outside'), outside)}
    ${families(voice.say('event.tooMany'), tooMany)}
    <p>${voice.say('event.misfitsHow')}</p></div>`;
}

function teamPart(voice: Voice, team: readonly Person[]): Html {
  return html`<section aria-labelledby="team"><h2 id="team">${voice.say('event.team')}</h2>
    ${
      team.length === 0
        ? html`<p>${voice.say('event.teamNone')}</p>`
        : html`<ul>${team.map((person) => html`<li><a href="${paths.person(person.id)}">${typed(person.name)}</a>, ${voice.name('role', person.role)}</li>`)}</ul>`
    }
    <p><a class="tap" href="${paths.people}">${voice.say('event.teamHow')}</a></p></section>`;
}

/** One event, to be changed. */
export function editEventPage(voice: Voice, viewer: Viewer, view: EditView): PageParts {
  const { event, form, state, misfits } = view;
  const hidden = html`<input type="hidden" name="version" value="${event.version}">
    ${
      misfits &&
      html`<label class="option keep"><input type="checkbox" name="keep" value="yes"> <span>${voice.say('event.keep')}</span></label>`
    }`;
  return {
    title: voice.say('event.edit', { name: event.name }),
    main: html`${styles()}${eventHead(voice, viewer, event, 'edit')}
    ${state === 'saved' && html`<p class="notice" role="status">${voice.say('event.saved')}</p>`}
    ${state === 'stale' && html`<div class="notice bad" role="alert"><p><b>${voice.say('event.stale')}</b></p><p>${voice.say('event.staleHow')}</p></div>`}
    ${problemsPart(voice, form.problems ?? {})}
    ${misfits && misfitsPart(voice, view, misfits)}
    ${eventForm(voice, viewer, form, paths.editEvent(event.id), hidden, voice.say('event.save'))}
    ${teamPart(voice, view.team)}`,
  };
}
