import { type Html, html } from './html.ts';
import type { Voice } from './voice.ts';

export type Option = readonly [value: string, words: string];

/** A choice of one or none among a form's fields. */
export const selectField = (
  voice: Voice,
  name: string,
  label: string,
  chosen: string | undefined,
  options: readonly Option[],
): Html =>
  html`<p><label for="${name}">${label}</label>
    <select id="${name}" name="${name}"><option value="">${voice.say('filter.any')}</option>${options.map(
      ([value, words]) =>
        value === chosen
          ? html`<option value="${value}" selected>${words}</option>`
          : html`<option value="${value}">${words}</option>`,
    )}</select></p>`;
