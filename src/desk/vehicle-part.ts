import type { Position, Use } from '#shared/case.ts';
import type { CaseView } from './case-view.ts';
import { valueWords } from './fact-words.ts';
import { type Html, html, typed } from './html.ts';
import { paths } from './paths.ts';
import { seatMapPart } from './seat-map-part.ts';

const HARDWARE = ['belt', 'lowerAnchors', 'tetherAnchor', 'frontAirBag'] as const satisfies readonly (keyof Position)[];

const HOW = [
  'mode',
  'attachment',
  'beltPath',
  'beltLocked',
  'tether',
  'twisted',
  'movementCm',
  'recline',
  'headClearanceCm',
] as const satisfies readonly (keyof Use)[];

function positionRow({ voice, names, summary }: CaseView, position: Position): Html {
  const here = summary.case.uses.filter((use) => use.positionId === position.id).map((use) => names.child(use.childId));
  return html`<tr>
    <th scope="row">${names.position(position.id)}</th>
    ${HARDWARE.map((field) => html`<td data-label="${voice.say(`fact.${field}`)}">${valueWords(field, position[field], voice) ?? voice.say('case.unknown')}</td>`)}
    <td data-label="${voice.say('vehicle.who')}">${here.length > 0 ? here.map((name, i) => [i > 0 && ', ', typed(name)]) : voice.say('vehicle.nobody')}</td>
  </tr>`;
}

/** How one child rides: mode, attachment, and what was seen of the installation, the harness and the belt. */
export function usePart({ voice, names }: CaseView, use: Use): Html {
  const groups: readonly (readonly [string, unknown])[] = [
    ...HOW.map((field) => [field, use[field]] as const),
    ...Object.entries(use.harness ?? {}),
    ...Object.entries(use.beltFit ?? {}),
  ];
  const rows = groups.flatMap(([field, value]) => {
    const words = valueWords(field, value, voice);
    return words ? [html`<div><dt>${voice.name('fact', field)}</dt><dd>${words}</dd></div>`] : [];
  });
  return html`<section class="card">
    <h3>${typed(names.child(use.childId))}${use.positionId != null && html`, ${names.position(use.positionId)}`}</h3>
    ${rows.length > 0 ? html`<dl class="facts">${rows}</dl>` : html`<p>${voice.say('case.unknown')}</p>`}
  </section>`;
}

/** The vehicle, its positions with their hardware, and who sits where. */
export function vehiclePart(view: CaseView): Html {
  const { voice, summary } = view;
  const { vehicle } = summary.case;
  const positions = vehicle?.positions ?? [];
  const what = [vehicle?.modelYear && String(vehicle.modelYear), vehicle?.description].filter((part) => !!part);
  const limit = valueWords('limitKg', vehicle?.lowerAnchorLimitKg, voice);
  return html`
    <p>${what.length > 0 ? what.map((part) => [typed(String(part)), ' ']) : voice.say('vehicle.none')}</p>
    ${vehicle?.vin && html`<p>${voice.say('fact.vin')}: ${typed(vehicle.vin)}</p>`}
    ${limit && html`<p>${voice.say('fact.lowerAnchorLimitKg')}: ${limit}</p>`}
    ${seatMapPart(view)}
    ${summary.case.children.length > 1 && html`<p><a class="button" href="${paths.plan(summary.reference)}">${voice.say('plan.open')}</a></p>`}
    ${
      positions.length > 0 &&
      html`<table class="stack">
      <thead><tr><th scope="col">${voice.say('vehicle.position')}</th>${HARDWARE.map((field) => html`<th scope="col">${voice.say(`fact.${field}`)}</th>`)}<th scope="col">${voice.say('vehicle.who')}</th></tr></thead>
      <tbody>${positions.map((position) => positionRow(view, position))}</tbody>
    </table>`
    }
    <div class="cards">${summary.case.uses.map((use) => usePart(view, use))}</div>`;
}
