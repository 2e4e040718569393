import { ROLES, type Role } from '#src/store/accounts.ts';
import type { CheckEvent } from '#src/store/events.ts';
import type { Access } from '#src/store/people.ts';
import { type Html, html, typed } from './html.ts';
import type { Voice } from './voice.ts';

const isRole = (text: string | null): text is Role => ROLES.some((role) => role === text);

/** Reads what the fields say; null where they are not as the form was given out. Coordinators see every event. */
export function readAccess(fields: URLSearchParams): Access | null {
  const role = fields.get('role');
  if (!isRole(role)) return null;
  const all = role === 'coordinator' || fields.get('which') !== 'some';
  return { role, eventIds: all ? null : [...new Set(fields.getAll('event'))] };
}

/** The fields for a role and the events that somebody sees. */
export function accessFields(voice: Voice, access: Access, events: readonly CheckEvent[]): Html {
  const { role, eventIds } = access;
  const checked = (yes: boolean) => yes && html` checked`;
  const option = (type: 'radio' | 'checkbox', name: string, value: string, chosen: boolean, label: Html | string) =>
    html`<label class="option"><input type="${type}" name="${name}" value="${value}"${checked(chosen)}> <span>${label}</span></label>`;
  return html`<fieldset><legend>${voice.say('people.role')}</legend>
      ${ROLES.map((each) =>
        option(
          'radio',
          'role',
          each,
          each === role,
          html`<b>${voice.name('role', each)}</b> <span class="below quietly">${voice.name('roleMay', each)}</span>`,
        ),
      )}
    </fieldset>
    <fieldset><legend>${voice.say('people.events')}</legend>
      <p class="hint">${voice.say('people.eventsHint')}</p>
      ${option('radio', 'which', 'all', eventIds === null, voice.say('people.allEvents'))}
      ${option('radio', 'which', 'some', eventIds !== null, voice.say('people.someEvents'))}
      <div class="inner">${events.map(({ id, name, heldOn }) =>
        option('checkbox', 'event', id, eventIds?.includes(id) ?? false, html`${typed(name)} (${heldOn})`),
      )}</div>
    </fieldset>`;
}
