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

type View = Pick<CaseView, 'voice' | 'names'>;

const isOfChild = (field: string, value: unknown): value is object =>
  /^c\d+$/.test(field) && typeof value === 'object' && value !== null;

/** What was read of a field, or, of a message about several children, a list for each of them. */
function reading({ voice, names }: View, asking: string | null, [field, value]: [string, unknown]): Html {
  if (isOfChild(field, value))
    return html`<li>${typed(names.child(field))}: ${readings({ voice, names }, asking, Object.entries(value))}</li>`;
  const chosen = field === 'chosen' ? ticked(voice, asking, value) : null;
  const words = chosen ?? valueWords(field, asRange(value), voice) ?? JSON.stringify(value) ?? '';
  return html`<li>${voice.name('fact', field)}: ${typed(words)}</li>`;
}

const readings = (view: View, asking: string | null, read: readonly [string, unknown][]): Html =>
  html`<ul>${read.map((entry) => reading(view, asking, entry))}</ul>`;

function row({ voice, names }: View, language: string, { asking, text, values }: CaregiverWords): Html {
  const read = Object.entries(values);
  return html`<tr>
    <th scope="row">${asking === null ? voice.say('case.opening') : voice.name('asking', asking)}</th>
    <td data-label="${voice.say('case.said')}" class="said">${typed(text, language)}</td>
    <td data-label="${voice.say('case.read')}">${
      read.length > 0
        ? readings({ voice, names }, asking, read)
        : html`<span class="quietly">${voice.say('case.nothingRead')}</span>`
    }</td>
  </tr>`;
}

/** What the caregiver typed, untranslated, beside what was read from it. */
export function wordsPart({ voice, names, summary }: CaseView): Html {
  const lines = summary.caregiverWords;
  if (lines.length === 0) return html`<p>${voice.say('case.noWords')}</p>`;
  return html`<p class="quietly">${voice.say('case.wordsHint')}</p>
    <table class="stack">
      <thead><tr>
        <th scope="col">${voice.say('case.asked')}</th>
        <th scope="col">${voice.say('case.said')}</th>
        <th scope="col">${voice.say('case.read')}</th>
      </tr></thead>
      <tbody>${lines.map((line) => row({ voice, names }, summary.language, line))}</tbody>
    </table>`;
}
