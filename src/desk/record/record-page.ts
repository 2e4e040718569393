import { recordables } from '#shared/visit-record/recordable.ts';
import { assetPath } from '../assets.ts';
import { type Html, html, typed } from '../html.ts';
import { otherCarLinks } from '../other-cars.ts';
import type { PageParts } from '../page.ts';
import { paths } from '../paths.ts';
import { childRecord, type FactList } from './child-record.ts';
import type { RecordPage } from './entry-form.ts';
import { educationRecord, notesRecord, signRecord, verifyRecord } from './family-record.ts';
import { findingsRecord } from './findings-record.ts';
import { instantOf } from './said-part.ts';
import { positionRecord, seatRecord, vehicleRecord } from './seat-record.ts';

function head({ view }: RecordPage): Html {
  const { voice, names, reference, review, record } = view;
  const kids = review.left.case.children.map((child) => names.child(child.id));
  return html`<div class="title" data-part="head">
    <h1>${voice.say('record.heading')}: ${kids.map((name, i) => [i > 0 && ', ', typed(name)])}</h1>
    <p class="reference">${reference}</p>
    ${record.signed && html`<p class="notice">${voice.say('record.signedBy', { name: record.signed.by, when: instantOf(view, record.signed.at) })}</p>`}
    <a class="button" href="${paths.takeHome(reference)}">${voice.say('record.takeHome')}</a>
  </div>`;
}

/** Where the script says what is saved and what still waits; without a script each tap is a form of its own and nothing waits. */
function queuePart({ view: { voice, reference } }: RecordPage): Html {
  return html`<div id="queue" class="queue" data-reference="${reference}" data-path="${paths.record(reference)}" data-stream="${paths.live}"
    data-saved="${voice.say('record.saved')}" data-waiting="${voice.say('record.waiting')}" data-ended="${voice.say('record.ended')}"
    data-signed="${voice.say('record.closed')}" data-refused="${voice.say('record.refused')}">
    <p id="queue-words" role="status"></p>
    <a id="queue-sign-in" class="button" href="${paths.signIn}?next=${encodeURIComponent(paths.record(reference))}" hidden>${voice.say('record.signIn')}</a>
  </div>`;
}

/** The record of a visit: big targets, every tap saved by itself, in the order of the check. */
export function recordPage(page: RecordPage, problem: Html | false = false): PageParts {
  const { voice, names, reference, review, summary } = page.view;
  const family = review.left.case;
  const list: FactList = { facts: recordables(family), toVerify: new Set(summary.verifyFirst) };
  const used =
    family.vehicle?.positions?.filter(({ id }) => family.uses.some(({ positionId }) => positionId === id)) ?? [];
  return {
    title: voice.say('record.title', { reference }),
    seen: true,
    main: html`<link rel="stylesheet" href="${assetPath('record.css')}"><link rel="stylesheet" href="${assetPath('taps.css')}">
    <p><a class="tap" href="${paths.case(reference)}">${voice.say('page.backToCase')}</a></p>
    ${head(page)}
    ${otherCarLinks(voice, page.view.otherCars, paths.record)}
    ${queuePart(page)}
    ${problem}
    <div id="record">
      ${verifyRecord(page, list)}
      <nav class="jumps" aria-label="${voice.say('record.sections')}">${family.children.map((child, i) => html`<a class="button" href="#child-${i}">${typed(names.child(child.id))}</a>`)}
        <a class="button" href="#findings">${voice.say('record.findings')}</a> <a class="button" href="#sign">${voice.say('record.sign')}</a></nav>
      ${family.children.map((child, i) => childRecord(page, child, i, list))}
      ${family.seats.length > 0 && html`<section aria-labelledby="seat-labels"><h2 id="seat-labels">${voice.say('record.seats')}</h2>${family.seats.map(({ id }, i) => seatRecord(page, id, i, list))}</section>`}
      <section aria-labelledby="places"><h2 id="places">${voice.say('record.places')}</h2>
        ${used.map(({ id }, i) => positionRecord(page, id, i, list))}${vehicleRecord(page, list)}</section>
      ${findingsRecord(page)}
      ${educationRecord(page)}
      ${notesRecord(page)}
      ${signRecord(page)}
    </div>
    <script src="${assetPath('record.js')}" defer></script>`,
  };
}
