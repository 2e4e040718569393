import type { CaregiverWords } from '#shared/summary.ts';
import type { CaseView } from './case-view.ts';
import { valueWords } from './fact-words.ts';
import { type Html, html, typed } from './html.ts';
import type { Voice } from './voice.ts';

/** `[min, max]`, as readings of text are written, as a range. */
const asRange = (value: unknown): unknown =>
  Array.isArray(value) && value.length === 2 && value.every((end) => typeof end === 'number')
    ? { min: value[0], max: value[1] }
    : value;

/** What was ticked, as it was offered. */
const ticked = (voice: Voice, asking: string | null, value: unknown): string | null =>
  Array.isArray(value) ? value.map((id) => voice.choice(asking ?? '', String(id))).join('; ') : null;

const reading = (voice: Voice, asking: string | null, [field, value]: [string, unknown]): Html => {
  const chosen = field === 'chosen' ? ticked(voice, asking, value) : null;
  const words = chosen ?? valueWords(field, asRange(value), voice) ?? JSON.stringify(value) ?? '';
  return html`<li>${voice.name('fact', field)}: ${typed(words)}</li>`;
};

function row(voice: Voice, language: string, { asking, text, values }: CaregiverWords): Html {
  const read = Object.entries(values);
  return html`<tr>
    <th scope="row">${asking === null ? voice.say('case.opening') : voice.name('asking', asking)}</th>
    <td data-label="${voice.say('case.said')}" class="said">${typed(text, language)}</td>
    <td data-label="${voice.say('case.read')}">${
      read.length > 0
        ? html`<ul>${read.map((entry) => reading(voice, asking, entry))}</ul>`
        : html`<span class="quietly">${voice.say('case.nothingRead')}</span>`
    }</td>
  </tr>`;
}

/** What the caregiver typed, untranslated, beside what was read from it. */
export function wordsPart({ voice, summary }: CaseView): Html {
  const lines = summary.caregiverWords;
  if (lines.length === 0) return html`<p>${voice.say('case.noWords')}</p>`;
  return html`<p class="quietly">${voice.say('case.wordsHint')}</p>
    <table class="stack">
      <thead><tr>
        <th scope="col">${voice.say('case.asked')}</th>
        <th scope="col">${voice.say('case.said')}</th>
        <th scope="col">${voice.say('case.read')}</th>
      </tr></thead>
      <tbody>${lines.map((line) => row(voice, summary.language, line))}</tbody>
    </table>`;
}
