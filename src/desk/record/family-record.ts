import { MAX_NOTE_LENGTH, REASONS, TOPICS } from '#shared/visit-record/entries.ts';
import { history, latestOf, type Said } from '#shared/visit-record/fold.ts';
import { mayWork } from '../access.ts';
import { groupFacts } from '../fact-groups.ts';
import { factWords } from '../fact-words.ts';
import { type Html, html, typed } from '../html.ts';
import { paths } from '../paths.ts';
import { verifyOrder } from '../verify-order.ts';
import type { FactList } from './child-record.ts';
import { entryForm, isOpen, type RecordPage, tapButtons } from './entry-form.ts';
import { factAnchor } from './fact-part.ts';
import { instantOf, saidPart } from './said-part.ts';

/** The facts to verify, each a link to where it is recorded; the list gets shorter as they are. */
export function verifyRecord({ view }: RecordPage, { facts }: FactList): Html {
  const { voice, summary } = view;
  const items = groupFacts(verifyOrder(summary)).map(({ path, members }) => {
    const { owner, label } = factWords(path, summary.case, voice);
    const words = html`${owner && html`${typed(owner)}: `}${label}`;
    const at = facts.findIndex((fact) => members.includes(fact.path));
    const stage =
      facts[at]?.owner === 'seats' && !view.review.found.case.seats.some(({ id }) => id === facts[at]?.id)
        ? 'left'
        : 'found';
    return html`<li>${at < 0 ? words : html`<a class="tap" href="#${factAnchor(at, stage)}">${words}</a>`}</li>`;
  });
  return html`<section class="verify card" data-part="verify" aria-labelledby="verify">
    <h2 id="verify">${voice.say('case.verify')}</h2>
    ${items.length > 0 ? html`<ul class="checks">${items}</ul>` : html`<p>${voice.say('case.noVerify')}</p>`}
  </section>`;
}

/** What the caregiver was shown and told. */
export function educationRecord(page: RecordPage): Html {
  const { voice, record } = page.view;
  const words = ({ change }: Said) =>
    change.kind === 'education' ? voice.say(change.given ? 'record.done' : 'record.notDone') : null;
  return html`<section data-part="education" aria-labelledby="education">
    <h2 id="education">${voice.say('record.education')}</h2>
    <ul class="topics card">${TOPICS.map((topic) => {
      const said = history(record.current, `education ${topic}`);
      const last = said.at(-1)?.change;
      const given = last?.kind === 'education' && last.given;
      return html`<li>
        <p id="topic-${topic}">${voice.say(`topic.${topic}`)}</p>
        ${entryForm(
          page,
          'education',
          { topic },
          tapButtons(`topic-${topic}`, [
            { code: given ? 'no' : 'yes', words: voice.say('record.done'), chosen: given },
          ]),
        )}
        ${saidPart(page.view, said, words)}
        ${said.length === 0 && !isOpen(page) && html`<p class="quietly">${voice.say('record.notDone')}</p>`}</li>`;
    })}</ul>
  </section>`;
}

/** Words of the technicians, each with who wrote them; none is changed. */
export function notesRecord(page: RecordPage): Html {
  const { voice, record } = page.view;
  const notes = latestOf(record.current, 'note');
  return html`<section data-part="notes" aria-labelledby="notes">
    <h2 id="notes">${voice.say('record.notes')}</h2>
    ${notes.length > 0 && html`<ul class="note-list">${notes.map((said) => html`<li>${saidPart(page.view, [said], () => said.change.text)}</li>`)}</ul>`}
    ${entryForm(
      page,
      'note',
      {},
      html`<label for="note">${voice.say('record.addNote')}</label>
      <textarea id="note" name="text" rows="3" dir="auto" maxlength="${MAX_NOTE_LENGTH}" required></textarea>
      <button type="submit">${voice.say('record.save')}</button>`,
    )}
  </section>`;
}

function remindersPart(page: RecordPage): Html {
  const { voice, record } = page.view;
  const said = history(record.current, 'reminders');
  const words = ({ change }: Said) =>
    change.kind === 'reminders' ? voice.say(change.wanted ? 'answer.yes' : 'answer.no') : null;
  const last = said.at(-1)?.change;
  return html`<div><p id="reminders-label">${voice.say('record.remindersWanted')}</p>
    <p class="quietly">${voice.say('record.remindersHint')}</p>
    ${entryForm(
      page,
      'reminders',
      {},
      tapButtons(
        'reminders-label',
        (['yes', 'no'] as const).map((code) => ({
          code,
          words: voice.say(`answer.${code}`),
          chosen: last?.kind === 'reminders' && last.wanted === (code === 'yes'),
        })),
      ),
    )}
    ${saidPart(page.view, said, words)}</div>`;
}

/** How to go on with a signed record: each correction says why, and stands beside what was signed. */
function correctPart({ view, viewer: { person }, why }: RecordPage): Html | false {
  if (!person || !mayWork(person)) return false;
  const { voice, reference } = view;
  return html`<form method="get" action="${paths.record(reference)}" class="entry">
    <p id="why-label">${voice.say(why ? 'record.correcting' : 'record.correct')}</p>
    <div class="taps" role="group" aria-labelledby="why-label">${REASONS.filter((one) => one !== 'late').map(
      (one) =>
        html`<button type="submit" name="why" value="${one}" class="tap-choice" aria-pressed="${one === why ? 'true' : 'false'}">${voice.name('why', one)}</button>`,
    )}</div></form>`;
}

/** The end of the record: reminders, and the sign-off that freezes it. */
export function signRecord(page: RecordPage): Html {
  const { view } = page;
  const { voice, record } = view;
  const { signed } = record;
  return html`<section class="card sign" data-part="sign" aria-labelledby="sign">
    <h2 id="sign">${voice.say('record.sign')}</h2>
    ${remindersPart(page)}
    ${
      signed
        ? html`<p class="notice"><b>${voice.say('record.signedBy', { name: signed.by, when: instantOf(view, signed.at) })}</b></p>${correctPart(page)}`
        : html`<p>${voice.say('record.signHint')}</p>${entryForm(
            page,
            'sign-off',
            {},
            html`<button type="submit" class="sign-off">${voice.say('record.signAs', { name: page.viewer.person?.name ?? '' })}</button>`,
          )}`
    }
  </section>`;
}
