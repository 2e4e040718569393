import type { LabelField } from '#dialogs/understanding/label-print.ts';
import type { Case } from '#shared/case.ts';
import type { KeptPhoto } from '#src/store/photos.ts';
import type { CaseView } from '../case-view.ts';
import { factWords, valueWords } from '../fact-words.ts';
import { type Html, html, typed } from '../html.ts';

/** Two conversions of one printed limit may differ behind the comma. */
const SAME = 0.005;

const same = (read: string | number, known: unknown): boolean =>
  typeof read === 'number' && typeof known === 'number' ? Math.abs(read - known) < SAME : read === known;

/** The seat that a photo's child rides in. */
const seatOf = (theCase: Case, childId: string | null): string | null =>
  theCase.uses.find((use) => use.childId === childId)?.seatId ?? null;

/** What was read, beside what the case holds of it by now: the same, something else, or nothing. */
function row(
  { voice, summary }: CaseView,
  seatId: string | null,
  path: string,
  { value, confidence }: LabelField,
): Html {
  const field = path.split('.').at(-1) ?? path;
  const facts = factWords(`seats.${seatId ?? ''}.${path}`, summary.case, voice);
  const seat = summary.case.seats.find(({ id }) => id === seatId);
  const known = path
    .split('.')
    .reduce<unknown>((at, key) => (at as Record<string, unknown> | null)?.[key], seat ?? null);
  const now = same(value, known)
    ? voice.say('photo.same')
    : facts.value === null
      ? voice.say('photo.open')
      : voice.say('photo.other', { value: facts.value });
  return html`<tr>
    <th scope="row">${facts.label}</th>
    <td data-label="${voice.say('photo.read')}">${typed(valueWords(field, value, voice) ?? String(value))}
      <span class="quietly">${voice.say('photo.confidence', { percent: voice.measures.percent(confidence) })}</span></td>
    <td data-label="${voice.say('photo.inCase')}">${now}</td>
  </tr>`;
}

/** All that was read of a photo. */
export function photoReading(view: CaseView, photo: KeptPhoto): Html {
  const { voice } = view;
  const read = Object.entries(photo.fields);
  if (read.length === 0) return html`<p class="quietly">${voice.say('photo.nothingRead')}</p>`;
  const seatId = seatOf(view.summary.case, photo.childId);
  return html`<table class="stack">
    <thead><tr>
      <th scope="col">${voice.say('photo.fact')}</th>
      <th scope="col">${voice.say('photo.read')}</th>
      <th scope="col">${voice.say('photo.inCase')}</th>
    </tr></thead>
    <tbody>${read.map(([path, field]) => row(view, seatId, path, field))}</tbody>
  </table>`;
}

/** What a photo is, and when it came, in words. */
export function photoTitle({ voice, names, event }: CaseView, { childId, receivedAt }: KeptPhoto): string {
  const when = voice.measures.instant(receivedAt, event?.timeZone ?? 'UTC');
  if (childId === null) return voice.say('photo.unasked', { when });
  return voice.say('photo.of', { child: names.child(childId), when });
}
