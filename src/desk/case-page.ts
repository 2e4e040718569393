import type { Child } from '#shared/case.ts';
import type { CaseView } from './case-view.ts';
import { childDetails, childGlance } from './child-part.ts';
import { findingPart } from './finding-part.ts';
import { type Html, html, typed } from './html.ts';
import { livePart } from './live-part.ts';
import { otherCarLinks } from './other-cars.ts';
import type { PageParts } from './page.ts';
import { paths } from './paths.ts';
import { seatPart } from './seat-part.ts';
import { vehiclePart } from './vehicle-part.ts';
import { verifyPart } from './verify-part.ts';
import { wordsPart } from './words-part.ts';

function head({ voice, summary, event, names }: CaseView, otherCars: readonly string[]): Html {
  const { visit } = summary.assessment;
  const kids = summary.case.children.map((child) => names.child(child.id));
  const fact = (label: string, value: string | Html) => html`<div><dt>${label}</dt><dd>${value}</dd></div>`;
  const when = voice.measures.instant(summary.createdAt, event?.timeZone ?? 'UTC');
  return html`<div class="head">
    <div class="title">
      <h1>${kids.length > 0 ? kids.map((name, i) => [i > 0 && ', ', typed(name)]) : voice.say('list.noChild')}</h1>
      <p class="group ${visit.priority}">${voice.say(`priority.${visit.priority}`)}</p>
      <a class="button" href="${paths.thread(summary.reference)}">${voice.say('thread.open')}</a>
      <a class="button" href="${paths.record(summary.reference)}">${voice.say('record.open')}</a>
      <a class="button" href="${paths.print(summary.reference)}">${voice.say('page.print')}</a>
    </div>
    <dl class="facts line">
      ${fact(voice.say('case.reference'), html`<span class="reference">${summary.reference}</span>`)}
      ${fact(voice.say('case.minutes'), voice.say('list.minutes', { count: visit.minutes }))}
      ${fact(voice.say('case.language'), voice.measures.languageName(summary.language))}
      ${event && fact(voice.say('case.event'), typed(event.name))}
      ${fact(voice.say('case.opened'), when)}
    </dl>
    ${otherCarLinks(voice, otherCars)}
    ${visit.skills.includes('interpreter') && html`<p class="notice">${voice.say('case.interpreter')}</p>`}
    ${visit.skills.includes('special-needs') && html`<p class="notice">${voice.say('case.specialNeeds')}</p>`}
    ${summary.person && html`<p class="notice">${voice.say('case.person')}</p>`}
    ${!summary.complete && html`<p class="notice">${voice.say('case.unfinished')}</p>`}
  </div>`;
}

function urgentPart(view: CaseView): Html {
  const { voice, summary } = view;
  const urgent = summary.assessment.findings.filter(({ urgency }) => urgency === 'before-next-trip');
  return html`<section class="urgent-part${urgent.length === 0 && ' calm'}" aria-labelledby="urgent">
    <h2 id="urgent">${voice.say('case.urgent')}</h2>
    ${
      urgent.length > 0
        ? html`<ul class="findings">${urgent.map((finding) => findingPart(view, finding, 3))}</ul>`
        : html`<p>${voice.say('case.noUrgent')}</p>`
    }
  </section>`;
}

/** What stands beside a case. */
export interface Beside {
  readonly thread: Html | null;
  readonly photos: Html | null;
  /** References of the cases of the family's other cars. */
  readonly otherCars: readonly string[];
}

/** One case, the most pressing first: what cannot wait, each child, what to verify, then the details and the facts as reported. */
export function casePage(view: CaseView, { thread, photos, otherCars }: Beside): PageParts {
  const { voice, summary } = view;
  const { children, seats } = summary.case;
  const judgedOf = ({ id }: Child) => summary.assessment.children.find(({ childId }) => childId === id);
  const { bring } = summary.assessment.visit;
  const things = (spare: boolean) =>
    bring.filter((thing) => thing.startsWith('spare-') === spare).map((thing) => voice.name('bring', thing));
  const section = (id: string, title: string, body: Html) =>
    html`<section aria-labelledby="${id}"><h2 id="${id}">${title}</h2>${body}</section>`;
  return {
    title: voice.say('case.title', { reference: summary.reference }),
    main: html`${livePart(voice, summary.reference)}${head(view, otherCars)}
    <div class="first">
      ${urgentPart(view)}
      <section class="glance" aria-labelledby="children"><h2 id="children">${voice.say('case.children')}</h2>${
        children.length > 0
          ? html`<div class="cards">${children.map((child) => childGlance(view, child, judgedOf(child)))}</div>`
          : html`<p>${voice.say('case.noChildren')}</p>`
      }</section>
      ${verifyPart(view)}
    </div>
    ${
      children.length > 0 &&
      section(
        'details',
        voice.say('case.details'),
        html`<div class="cards">${children.map((child) => childDetails(view, child, judgedOf(child)))}</div>`,
      )
    }
    ${section(
      'seats',
      voice.say('case.seats'),
      seats.length > 0
        ? html`<div class="cards">${seats.map((seat) => seatPart(view, seat))}</div>`
        : html`<p>${voice.say('seat.noSeats')}</p>`,
    )}
    ${photos}
    ${section('vehicle', voice.say('case.vehicle'), vehiclePart(view))}
    ${thread}
    ${section('words', voice.say('case.words'), wordsPart(view))}
    ${summary.notes.trim() !== '' && section('notes', voice.say('case.notes'), html`<p class="notes">${typed(summary.notes)}</p>`)}
    ${things(true).length > 0 && section('ready', voice.say('case.ready'), html`<p>${voice.measures.list(things(true))}</p>`)}
    ${section('bring', voice.say('case.bring'), html`<p>${voice.measures.list(things(false))}</p>`)}`,
  };
}
