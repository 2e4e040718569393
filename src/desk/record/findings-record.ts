import { VERDICTS } from '#shared/visit-record/entries.ts';
import { findingSlot, history, type Said } from '#shared/visit-record/fold.ts';
import type { ReviewedFinding } from '#shared/visit-record/review.ts';
import { type Html, html, typed } from '../html.ts';
import { entryForm, type RecordPage, tapButtons } from './entry-form.ts';
import { saidPart } from './said-part.ts';

function findingRecord(page: RecordPage, { finding, state }: ReviewedFinding, number: number): Html {
  const { voice, names, record } = page.view;
  const { code, childId, seatId, positionId, urgency } = finding;
  const { title, text } = voice.finding(code);
  const id = `finding-${number}`;
  const said = history(record.current, findingSlot(finding));
  const words = ({ change }: Said) => (change.kind === 'finding' ? voice.name('verdictOf', change.verdict) : null);
  const last = said.at(-1)?.change;
  const about = [
    childId !== null && names.child(childId),
    childId === null && seatId !== null && names.seat(seatId),
  ].filter((one) => one !== false);
  return html`<li class="finding ${urgency}" data-slot="${findingSlot(finding)}">
    <h3 id="${id}-label">${title} <span class="tag">${voice.say(`urgency.${urgency}`)}</span> <span class="tag state ${state}">${voice.say(`findingState.${state}`)}</span></h3>
    ${about.length > 0 && html`<p class="quietly">${about.map((one) => typed(one))}</p>`}
    <details><summary>${voice.say('record.whatToDo')}</summary><p>${text}</p></details>
    ${entryForm(
      page,
      'finding',
      { finding: JSON.stringify([code, childId, seatId, positionId]) },
      tapButtons(
        `${id}-label`,
        VERDICTS.map((code) => ({
          code,
          words: voice.name('verdictOf', code),
          chosen: last?.kind === 'finding' && last.verdict === code,
        })),
      ),
    )}
    ${saidPart(page.view, said, words)}
  </li>`;
}

/** Each finding, with what was made of it. How the seat was left says most of it by itself. */
export function findingsRecord(page: RecordPage): Html {
  const { voice, review } = page.view;
  return html`<section data-part="findings" aria-labelledby="findings">
    <h2 id="findings">${voice.say('record.findings')}</h2>
    ${
      review.findings.length === 0
        ? html`<p>${voice.say('record.noFindings')}</p>`
        : html`<p class="quietly">${voice.say('record.findingsHint')}</p>
          <ul class="findings card">${review.findings.map((one, i) => findingRecord(page, one, i))}</ul>`
    }
  </section>`;
}
