import type { CheckEvent } from '#src/store/events.ts';
import type { Access, Person } from '#src/store/people.ts';
import { accessFields } from './access-form.ts';
import { type Html, html, typed } from './html.ts';
import { type PageParts, tokenField, type Viewer } from './page.ts';
import { paths } from './paths.ts';
import { MAX_NAME_LENGTH } from './sign-in.ts';
import type { Voice } from './voice.ts';

export type PeopleProblem = 'nameMissing' | 'nameTaken' | 'incomplete' | 'last-coordinator';

const problemPart = (voice: Voice, problem: PeopleProblem | undefined): Html | undefined =>
  problem && html`<p class="notice bad" role="alert">${voice.name('peopleProblem', problem)}</p>`;

function stateOf(voice: Voice, person: Person): string {
  if (person.disabled) return voice.say('people.disabled');
  if (!person.hasPassword && !person.hasIdentity) return voice.say('people.invited');
  return voice.say(person.hasIdentity ? 'people.byProvider' : 'people.byPassword');
}

function eventsOf(voice: Voice, { eventIds }: Access, events: readonly CheckEvent[]): Html | string {
  if (eventIds === null) return voice.say('people.allEvents');
  if (eventIds.length === 0) return voice.say('people.noEvents');
  const nameOf = (id: string) => events.find((event) => event.id === id)?.name ?? id;
  return html`${eventIds.map((id, i) => [i > 0 && ', ', typed(nameOf(id))])}`;
}

export interface PeopleView {
  readonly people: readonly Person[];
  readonly events: readonly CheckEvent[];
  readonly typed?: { readonly name: string; readonly access: Access };
  readonly problem?: PeopleProblem;
}

/** Everybody with an account, and the form to invite somebody. */
export function peoplePage(voice: Voice, viewer: Viewer, view: PeopleView): PageParts {
  const { people, events, problem } = view;
  const given = view.typed ?? { name: '', access: { role: 'technician', eventIds: null } };
  return {
    title: voice.say('people.title'),
    main: html`<div class="head"><h1>${voice.say('people.title')}</h1></div>
    <div class="wide"><table>
      <thead><tr>${(['name', 'role', 'events', 'state'] as const).map((key) => html`<th scope="col">${voice.say(`people.${key}`)}</th>`)}</tr></thead>
      <tbody>${people.map(
        (person) => html`<tr>
          <th scope="row"><a class="tap" href="${paths.person(person.id)}">${typed(person.name)}</a></th>
          <td>${voice.name('role', person.role)}</td>
          <td>${eventsOf(voice, person, events)}</td>
          <td>${stateOf(voice, person)}</td>
        </tr>`,
      )}</tbody>
    </table></div>
    <section aria-labelledby="invite"><h2 id="invite">${voice.say('people.invite')}</h2>
      ${problemPart(voice, problem)}
      <p>${voice.say('people.inviteHow')}</p>
      <form method="post" action="${paths.people}" class="fields">${tokenField(viewer)}
        <label for="name">${voice.say('people.name')}</label>
        <input id="name" name="name" type="text" autocomplete="off" maxlength="${MAX_NAME_LENGTH}" required value="${given.name}">
        ${accessFields(voice, given.access, events)}
        <button type="submit">${voice.say('people.makeLink')}</button>
      </form>
    </section>`,
  };
}

export interface PersonView {
  readonly person: Person;
  readonly events: readonly CheckEvent[];
  readonly problem?: PeopleProblem;
  readonly saved?: boolean;
}

/** One person: role and events, a link for a new password, and closing the account. */
export function personPage(voice: Voice, viewer: Viewer, { person, events, problem, saved }: PersonView): PageParts {
  const form = (does: string, body: Html) =>
    html`<form method="post" action="${paths.person(person.id)}" class="fields">${tokenField(viewer)}
      <input type="hidden" name="does" value="${does}">${body}</form>`;
  const button = (words: string, quiet = true) =>
    quiet ? html`<button type="submit" class="quiet">${words}</button>` : html`<button type="submit">${words}</button>`;
  return {
    title: voice.say('people.one', { name: person.name }),
    main: html`<p><a class="tap" href="${paths.people}">${voice.say('people.back')}</a></p>
    <h1>${typed(person.name)}</h1>
    <p>${stateOf(voice, person)}</p>
    ${problemPart(voice, problem)}
    ${saved && html`<p class="notice" role="status">${voice.say('people.saved')}</p>`}
    ${form('change', html`${accessFields(voice, person, events)}${button(voice.say('people.save'), false)}`)}
    <section aria-labelledby="new-password"><h2 id="new-password">${voice.say('people.password')}</h2>
      <p>${voice.say('people.passwordHow')}</p>
      ${person.disabled ? html`<p>${voice.say('people.enableFirst')}</p>` : form('link', button(voice.say('people.makeLink')))}
    </section>
    <section aria-labelledby="close"><h2 id="close">${voice.say('people.closing')}</h2>
      <p>${voice.say('people.closingHow')}</p>
      ${person.disabled ? form('enable', button(voice.say('people.enable'))) : form('disable', button(voice.say('people.disable')))}
    </section>`,
  };
}

/** The link that was just made; it is shown this once. */
export const linkPage = (voice: Voice, name: string, link: string, hours: number): PageParts => ({
  title: voice.say('people.linkTitle'),
  main: html`<section class="narrow">
    <h1>${voice.say('people.linkTitle')}</h1>
    <p>${voice.say('people.linkFor', { name, hours })}</p>
    <div class="fields"><label for="link">${voice.say('people.link')}</label>
      <input id="link" type="text" readonly value="${link}"></div>
    <p class="notice">${voice.say('people.linkOnce')}</p>
    <p><a class="tap" href="${paths.people}">${voice.say('people.back')}</a></p>
  </section>`,
});
