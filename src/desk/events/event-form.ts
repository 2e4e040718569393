import { MOST_TECHNICIANS, STEPS_MINUTES } from '#shared/events/hours.ts';
import { type Html, html, typed } from '../html.ts';
import { tokenField, type Viewer } from '../page.ts';
import type { Voice } from '../voice.ts';
import {
  type EventFields,
  FIELD_NAMES,
  type FieldName,
  type FieldProblems,
  MAX_NAME,
  MAX_PLACE,
} from './event-fields.ts';

export interface EventForm {
  readonly fields: EventFields;
  readonly problems?: FieldProblems;
  /** What somebody else saved meanwhile; each field that differs says so. */
  readonly saved?: EventFields;
  /** Languages that a team can be said to speak. */
  readonly languages: readonly string[];
  /** Time zones to choose from. */
  readonly zones: readonly string[];
}

const problemWords = (voice: Voice, code: string): string =>
  voice.say(`eventProblem.${code}` as 'eventProblem.name', {
    name: MAX_NAME,
    place: MAX_PLACE,
    technicians: MOST_TECHNICIANS,
  });

/** What cannot be used, on top of the form: each line leads to its field. */
export function problemsPart(voice: Voice, problems: FieldProblems): Html | false {
  const wrong = FIELD_NAMES.flatMap((name) => {
    const code = problems[name];
    return code === undefined ? [] : [{ name, words: problemWords(voice, code) }];
  });
  return (
    wrong.length > 0 &&
    html`<div class="notice bad" role="alert"><p><b>${voice.say('event.notSaved')}</b></p>
      <ul>${wrong.map(({ name, words }) => html`<li><a href="#${name === 'timed' ? 'timed-yes' : name}">${words}</a></li>`)}</ul></div>`
  );
}

/** How a field is shown where somebody else saved another value meanwhile. */
function shown(voice: Voice, name: FieldName, value: string): string {
  if (name === 'timed') return voice.say(value === 'yes' ? 'event.timedYes' : 'event.timedNo');
  return value === '' ? voice.say('event.nothing') : value;
}

/** The fields of an event, each with its own error and what somebody else saved. */
export function eventFields(voice: Voice, form: EventForm): Html {
  const { fields, problems = {}, saved } = form;

  const notes = (name: FieldName): readonly (readonly [id: string, part: Html])[] => {
    const code = problems[name];
    const other = saved && saved[name] !== fields[name] ? saved[name] : undefined;
    return [
      ...(code === undefined
        ? []
        : [[`${name}-problem`, html`<p class="wrong" id="${name}-problem">${problemWords(voice, code)}</p>`] as const]),
      ...(other === undefined
        ? []
        : [
            [
              `${name}-saved`,
              html`<p class="hint" id="${name}-saved">${voice.say('event.savedMeanwhile')} <b>${typed(shown(voice, name, other))}</b></p>`,
            ] as const,
          ]),
    ];
  };
  /** The attributes by which a field points to its hint, its error and what was saved. */
  const about = (name: FieldName, hint = false): Html => {
    const ids = [...(hint ? [`${name}-hint`] : []), ...notes(name).map(([id]) => id)];
    return html`${ids.length > 0 && html` aria-describedby="${ids.join(' ')}"`}${problems[name] !== undefined && html` aria-invalid="true"`}`;
  };
  const label = (name: FieldName, key = name) => html`<label for="${name}">${voice.say(`event.${key}`)}</label>`;
  const below = (name: FieldName) => notes(name).map(([, part]) => part);
  const input = (name: FieldName, type: 'text' | 'date' | 'time', more: Html, hint = false) =>
    html`<div class="field">${label(name)}
      ${hint && html`<p class="hint" id="${name}-hint">${voice.say(`event.${name}Hint` as 'event.nameHint')}</p>`}
      <input id="${name}" name="${name}" type="${type}" value="${fields[name]}"${more}${about(name, hint)}>${below(name)}</div>`;
  const radio = (value: 'yes' | 'no', words: string) =>
    html`<label class="option"><input type="radio" id="timed-${value}" name="timed" value="${value}"${
      fields.timed === value && html` checked`
    }${about('timed')}> <span>${words}</span></label>`;

  return html`${input('name', 'text', html` maxlength="${MAX_NAME}" required dir="auto"`, true)}
    ${input('place', 'text', html` maxlength="${MAX_PLACE}" required dir="auto"`, true)}
    <div class="pair">${input('heldOn', 'date', html` required`)}
    ${input('timeZone', 'text', html` list="zones" required autocomplete="off" spellcheck="false"`, true)}</div>
    <datalist id="zones">${form.zones.map((zone) => html`<option value="${zone}"></option>`)}</datalist>
    <fieldset class="times"><legend>${voice.say('event.timed')}</legend>
      ${radio('yes', voice.say('event.timedYes'))}
      ${radio('no', voice.say('event.timedNo'))}
      ${below('timed')}
      <div class="pair when-timed">${input('opensAt', 'time', html``)}
      ${input('closesAt', 'time', html``)}
      <div class="field">${label('stepMinutes')}
        <select id="stepMinutes" name="stepMinutes"${about('stepMinutes')}>${STEPS_MINUTES.map(
          (step) =>
            html`<option value="${step}"${String(step) === fields.stepMinutes && html` selected`}>${voice.say('list.minutes', { count: step })}</option>`,
        )}</select>${below('stepMinutes')}</div>
      <div class="field">${label('technicians')}
        <input id="technicians" name="technicians" type="number" inputmode="numeric" min="1" max="${MOST_TECHNICIANS}" value="${fields.technicians}"${about('technicians', true)}>
        <p class="hint" id="technicians-hint">${voice.say('event.techniciansHint')}</p>${below('technicians')}</div></div>
    </fieldset>
    <fieldset><legend>${voice.say('event.languages')}</legend>
      <p class="hint">${voice.say('event.languagesHint')}</p>
      ${
        saved &&
        saved.languages.join() !== fields.languages.join() &&
        html`<p class="hint">${voice.say('event.savedMeanwhile')} <b>${
          saved.languages.length > 0
            ? voice.measures.list(saved.languages.map(voice.measures.languageName))
            : voice.say('event.nothing')
        }</b></p>`
      }
      <div class="columns">${form.languages.map(
        (tag) =>
          html`<label class="option"><input type="checkbox" name="language" value="${tag}"${
            fields.languages.includes(tag) && html` checked`
          }> <span>${voice.measures.languageName(tag)}</span></label>`,
      )}</div>
    </fieldset>`;
}

/** The whole form of an event. `hidden` goes with it. */
export const eventForm = (
  voice: Voice,
  viewer: Viewer,
  form: EventForm,
  action: string,
  hidden: Html | false,
  submit: string,
): Html =>
  html`<form method="post" action="${action}" class="fields event-form" novalidate>${tokenField(viewer)}${hidden}
    ${eventFields(voice, form)}
    <button type="submit">${submit}</button>
  </form>`;
