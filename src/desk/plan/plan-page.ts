import type { Arrangement, Arrangements } from '#shared/arrange.ts';
import { LARGEST } from '#shared/arrange.ts';
import type { Locks } from '#shared/arranging/plan-table.ts';
import type { Case } from '#shared/case.ts';
import type { CaseNames } from '../case-names.ts';
import { type Html, html, typed } from '../html.ts';
import type { PageParts } from '../page.ts';
import { paths } from '../paths.ts';
import { ridersOf, seatingPlanDrawing } from '../seating-plan-drawing.ts';
import type { Voice } from '../voice.ts';

/** How many plans a page shows first, and after asking for more. */
export const FEW = 4;
export const MORE = 24;

export interface PlanView {
  readonly reference: string;
  readonly voice: Voice;
  readonly names: CaseNames;
  /** With the places nobody has described. */
  readonly family: Case;
  readonly undescribed: ReadonlySet<string>;
  readonly locks: Locks;
  /** Null: more than can be searched. */
  readonly found: Arrangements | null;
  readonly shown: number;
}

const words = (voice: Voice) => ({ front: voice.say('map.front'), driver: voice.say('plan.driver') });

const placeName = ({ names, undescribed, voice }: PlanView, id: string): string =>
  undescribed.has(id) ? voice.say('plan.undescribed', { place: names.position(id) }) : names.position(id);

function lockForm(view: PlanView): Html {
  const { voice, names, family, locks, reference } = view;
  const places = family.vehicle?.positions ?? [];
  return html`<form method="get" action="${paths.plan(reference)}" class="fields locks">
    <fieldset><legend>${voice.say('plan.lockLegend')}</legend>
    ${family.children.map(
      ({ id }, i) => html`<p><label for="at-${i}">${typed(names.child(id))}</label>
      <select id="at-${i}" name="at-${i}"><option value="">${voice.say('plan.anywhere')}</option>${places.map(
        (place) =>
          locks[id] === place.id
            ? html`<option value="${place.id}" selected>${placeName(view, place.id)}</option>`
            : html`<option value="${place.id}">${placeName(view, place.id)}</option>`,
      )}</select></p>`,
    )}</fieldset>
    <button type="submit">${voice.say('plan.again')}</button>
  </form>`;
}

function today(view: PlanView): Html | false {
  const { voice, names, family } = view;
  const riders = ridersOf(family, names.child, (use) => (use.mode ? [voice.name('mapMode', use.mode)] : []));
  const described = riders.map(({ who, how, positionId }) => [who, placeName(view, positionId), ...how].join(', '));
  const drawing =
    riders.length > 0 &&
    seatingPlanDrawing({
      id: 'today',
      title: voice.say('plan.today'),
      description: described.join('; '),
      positions: family.vehicle?.positions ?? [],
      riders,
      words: words(voice),
      unsure: view.undescribed,
    });
  return (
    drawing &&
    html`<section class="card" aria-labelledby="today-h"><h2 id="today-h">${voice.say('plan.today')}</h2>${drawing}</section>`
  );
}

function planCard(view: PlanView, plan: Arrangement, number: number): Html {
  const { voice, names, family, undescribed } = view;
  const changed = ({ childId, positionId, mode, seatId }: Arrangement['places'][number]): boolean => {
    const use = family.uses.find((one) => one.childId === childId);
    const differs = (now: string | null | undefined, then: string | null) => now != null && now !== then;
    return differs(use?.positionId, positionId) || differs(use?.mode, mode) || differs(use?.seatId, seatId);
  };
  const attached = ({ mode, attachment, tether }: Arrangement['places'][number]): string =>
    [
      voice.name('attachment', attachment),
      ...(mode === 'forward-facing' ? [voice.name('planTether', tether)] : []),
    ].join(', ');
  const id = `plan-${number}`;
  const drawing = seatingPlanDrawing({
    id,
    title: voice.say('plan.numbered', { number }),
    description: plan.places
      .map(
        (one) => `${names.child(one.childId)}, ${placeName(view, one.positionId)}, ${voice.name('mapMode', one.mode)}`,
      )
      .join('; '),
    positions: family.vehicle?.positions ?? [],
    riders: plan.places.map((one) => ({
      positionId: one.positionId,
      who: names.child(one.childId),
      how: [
        voice.name('mapMode', one.mode),
        voice.name('attachment', one.attachment),
        ...(one.tether === 'required' ? [voice.say('plan.tether')] : []),
      ],
      changed: changed(one),
    })),
    words: words(voice),
    unsure: undescribed,
  });
  const reasons = [
    ...plan.reasons.map((code) => voice.name('planReason', code)),
    ...(plan.places.some(({ positionId }) => undescribed.has(positionId)) ? [voice.say('plan.placeToFind')] : []),
  ];
  return html`<section class="card" aria-labelledby="${id}-h">
    <h3 id="${id}-h">${voice.say('plan.numbered', { number })}</h3>
    ${drawing}
    <table class="stack places"><thead><tr><th scope="col">${voice.say('plan.child')}</th><th scope="col">${voice.say('vehicle.position')}</th><th scope="col">${voice.say('plan.how')}</th><th scope="col">${voice.say('plan.attached')}</th></tr></thead>
    <tbody>${plan.places.map(
      (one) => html`<tr><th scope="row">${changed(one) && html`<b>● </b>`}${typed(names.child(one.childId))}</th>
      <td data-label="${voice.say('vehicle.position')}">${placeName(view, one.positionId)}</td>
      <td data-label="${voice.say('plan.how')}">${voice.name('mode', one.mode)}${one.seatId !== null && html`, ${typed(names.seat(one.seatId))}`}</td>
      <td data-label="${voice.say('plan.attached')}">${attached(one)}</td></tr>`,
    )}</tbody></table>
    ${reasons.length > 0 && html`<h4>${voice.say('plan.toKnow')}</h4><ul class="to-know">${reasons.map((reason) => html`<li>${reason}</li>`)}</ul>`}
  </section>`;
}

/** A change that would make a plan possible, with whose it is. */
function changeWords({ voice, names, family }: PlanView, named: string): string {
  const colon = named.indexOf(':');
  const code = colon < 0 ? named : named.slice(0, colon);
  const id = named.slice(colon + 1);
  const what = voice.name('planChange', code);
  if (colon < 0 || code === 'another-position') return what;
  const whose = family.children.some((child) => child.id === id)
    ? names.child(id)
    : family.seats.some((seat) => seat.id === id)
      ? names.seat(id)
      : names.position(id);
  return `${what} (${whose})`;
}

function plansPart(view: PlanView): Html {
  const { voice, found, shown, reference, locks, family } = view;
  if (found === null) return html`<p class="notice">${voice.say('plan.tooLarge', LARGEST)}</p>`;
  if (found.total === 0) {
    const sets = found.blockedBy.slice(0, MORE);
    return html`<p class="notice" role="status">${voice.say('plan.none')}</p>
    ${sets.length > 0 && html`<h3>${voice.say('plan.wouldHelp')}</h3><ul class="to-know">${sets.map((set) => html`<li>${voice.measures.list(set.map((change) => changeWords(view, change)))}</li>`)}</ul>`}`;
  }
  const asked = new URLSearchParams(family.children.map(({ id }, i) => [`at-${i}`, locks[id] ?? '']));
  asked.set('show', 'more');
  return html`<p role="status">${voice.say('plan.count', { count: found.total })}</p>
    <p class="quietly">${voice.say('plan.legend')}</p>
    <div class="cards">${found.arrangements.slice(0, shown).map((plan, i) => planCard(view, plan, i + 1))}</div>
    ${shown < MORE && found.total > shown && html`<p><a class="button" href="${paths.plan(reference)}?${asked.toString()}">${voice.say('plan.more')}</a></p>`}`;
}

/** Compares the plans for a case: today's places, the best plans as drawings and tables, and a form that holds a child to a place. */
export function planPage(view: PlanView): PageParts {
  const { voice, reference, names, family } = view;
  return {
    title: voice.say('plan.title', { reference }),
    main: html`<div class="title"><h1>${voice.say('plan.heading')}: ${family.children.map(({ id }, i) => [i > 0 && ', ', typed(names.child(id))])}</h1>
      <a class="button" href="${paths.case(reference)}">${voice.say('page.backToCase')}</a></div>
    <p class="notice">${voice.say('plan.caution')}</p>
    <div class="cards">${today(view)}<section class="card" aria-labelledby="lock-h"><h2 id="lock-h">${voice.say('plan.lock')}</h2>${lockForm(view)}</section></div>
    <section aria-labelledby="plans-h"><h2 id="plans-h">${voice.say('plan.plans')}</h2>${plansPart(view)}</section>`,
  };
}
