import type { Stage } from '#shared/visit-record/entries.ts';
import type { Recordable } from '#shared/visit-record/recordable.ts';
import { type Html, html, typed } from '../html.ts';
import type { FactList } from './child-record.ts';
import type { RecordPage } from './entry-form.ts';
import { factRow } from './fact-part.ts';

/** What is looked at first on any seat; the rest where it is to be verified, or on demand. */
const FIRST: ReadonlySet<string> = new Set(['manufactureDate', 'expiryDate', 'recall', 'registered', 'modelNumber']);
/** What can be mended at the visit, and so is recorded as found and as left. */
const MENDED: ReadonlySet<string> = new Set(['recall', 'registered', 'partsComplete', 'labelReadable']);

function factsPart(
  page: RecordPage,
  owned: readonly (readonly [Recordable, number])[],
  toVerify: FactList['toVerify'],
  stagesOf: (fact: Recordable) => readonly Stage[],
): Html {
  const { voice } = page.view;
  const row = ([fact, at]: readonly [Recordable, number]) =>
    factRow(page, fact, at, stagesOf(fact), toVerify.has(fact.path));
  const atOnce = ([{ field, path }]: readonly [Recordable, number]) => FIRST.has(field) || toVerify.has(path);
  return html`${owned.filter(atOnce).map(row)}
    <details><summary>${voice.say('record.allFacts')}</summary>${owned.filter((one) => !atOnce(one)).map(row)}</details>`;
}

/** The label and state of one seat. A seat that came in at the visit has no state as found. */
export function seatRecord(page: RecordPage, seatId: string, number: number, { facts, toVerify }: FactList): Html {
  const { names, review } = page.view;
  const came = review.found.case.seats.some(({ id }) => id === seatId);
  const owned = facts.flatMap((fact, at) =>
    fact.owner === 'seats' && fact.id === seatId ? [[fact, at] as const] : [],
  );
  const stages = ({ field }: Recordable): readonly Stage[] =>
    !came ? ['left'] : MENDED.has(field) ? ['found', 'left'] : ['found'];
  return html`<section class="card" data-part="seat-${number}" aria-labelledby="seat-${number}-name">
    <h3 id="seat-${number}-name">${typed(names.seat(seatId))}</h3>
    ${factsPart(page, owned, toVerify, stages)}
  </section>`;
}

/** The hardware of one seating position that a child uses. */
export function positionRecord(
  page: RecordPage,
  positionId: string,
  number: number,
  { facts, toVerify }: FactList,
): Html {
  const { names, review } = page.view;
  const came = review.found.case.vehicle?.positions?.some(({ id }) => id === positionId) ?? false;
  const owned = facts.flatMap((fact, at) =>
    fact.owner === 'positions' && fact.id === positionId ? [[fact, at] as const] : [],
  );
  const rows = owned.map(([fact, at]) => factRow(page, fact, at, [came ? 'found' : 'left'], toVerify.has(fact.path)));
  return html`<section class="card" data-part="position-${number}" aria-labelledby="position-${number}-name">
    <h3 id="position-${number}-name">${names.position(positionId)}</h3>
    ${rows}
  </section>`;
}

/** What holds for the vehicle as a whole; nothing where there is none. */
export function vehicleRecord(page: RecordPage, { facts, toVerify }: FactList): Html {
  const rows = facts.map(
    (fact, at) => fact.owner === 'vehicle' && factRow(page, fact, at, ['found'], toVerify.has(fact.path)),
  );
  return html`<section class="card" data-part="vehicle" aria-labelledby="whole-vehicle">
    <h3 id="whole-vehicle">${page.view.voice.say('fact.vehicle')}</h3>
    ${rows}
  </section>`;
}
