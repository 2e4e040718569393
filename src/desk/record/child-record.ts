import type { Child, ModeInUse } from '#shared/case.ts';
import { SEAT_KINDS } from '#shared/case.ts';
import type { Stage } from '#shared/visit-record/entries.ts';
import { MAX_NAME_LENGTH } from '#shared/visit-record/entries.ts';
import { history, type Said } from '#shared/visit-record/fold.ts';
import type { Recordable } from '#shared/visit-record/recordable.ts';
import { useOf } from '#shared/visit-record/set-fact.ts';
import { type Html, html, typed } from '../html.ts';
import { entryForm, type RecordPage, tapButtons } from './entry-form.ts';
import { factRow, restsOn } from './fact-part.ts';
import { saidPart } from './said-part.ts';

/** The facts of a case by number, and which of them are to be verified. */
export interface FactList {
  readonly facts: readonly Recordable[];
  readonly toVerify: ReadonlySet<string>;
}

type Shown = (mode: ModeInUse) => boolean;
const harnessed: Shown = (mode) => mode === 'rear-facing' || mode === 'forward-facing';
const belted: Shown = (mode) => mode === 'booster' || mode === 'seat-belt';
const only =
  (one: ModeInUse): Shown =>
  (mode) =>
    mode === one;

/** How a seat is installed and a child sits in it, in the order of the check, with the modes it is asked for. */
const INSTALLATION: readonly (readonly [string, Shown])[] = [
  ['mode', () => true],
  ['attachment', harnessed],
  ['beltPath', harnessed],
  ['beltLocked', harnessed],
  ['twisted', harnessed],
  ['movementCm', harnessed],
  ['tether', only('forward-facing')],
  ['recline', only('rear-facing')],
  ['headClearanceCm', only('rear-facing')],
  ['harness.straps', harnessed],
  ['harness.pinchable', harnessed],
  ['harness.chestClip', harnessed],
  ['harness.bulkyClothing', harnessed],
  ['harness.infantInsert', harnessed],
  ['harness.addOnProduct', harnessed],
  ['beltFit.lap', belted],
  ['beltFit.shoulder', belted],
];

const MEASURED = ['weightKg', 'heightCm', 'birthDate'];
const PLACES = ['1:right', '2:left', '2:center', '2:right', '3:left', '3:center', '3:right'] as const;

function placeControl(page: RecordPage, child: Child, number: number, stage: Stage): Html {
  const { view } = page;
  const { voice, review, record } = view;
  const id = `place-${number}-${stage}`;
  const { positionId } = useOf(review[stage].case, child.id);
  const now = review[stage].case.vehicle?.positions?.find((position) => position.id === positionId);
  const words = (place: string) => {
    const [row = '', side = ''] = place.split(':');
    return voice.say('vehicle.place', { row, side: voice.name('side', side) });
  };
  const said = history(record.current, `place ${stage} ${child.id}`);
  const inWords = ({ change }: Said) => (change.kind === 'place' ? words(`${change.row}:${change.side}`) : null);
  return html`<div class="control" id="${id}">
    <p class="stage" id="${id}-label"><span class="hidden-words">${voice.say('fact.positionId')}, </span>${voice.say(`record.${stage}`)}</p>
    ${entryForm(
      page,
      'place',
      { child: child.id, stage },
      tapButtons(
        `${id}-label`,
        PLACES.map((place) => {
          const holds = place === `${now?.row}:${now?.side}`;
          const recorded = said.length > 0;
          return {
            code: place,
            words: words(place),
            chosen: holds && recorded,
            assumed: holds && !recorded && restsOn(view, stage),
          };
        }),
      ),
    )}
    ${saidPart(view, said, inWords)}
  </div>`;
}

function placeRow(page: RecordPage, child: Child, number: number, toVerify: boolean): Html {
  const { voice, names, reported } = page.view;
  const told = reported.uses.find(({ childId }) => childId === child.id)?.positionId;
  return html`<div class="fact-row${toVerify && ' to-verify'}">
    <h4>${voice.say('fact.positionId')}</h4>
    <p class="reported">${voice.say('record.reported')}: ${told == null ? voice.say('case.unknown') : typed(names.position(told))}</p>
    <div class="stages">${(['found', 'left'] as const).map((stage) => placeControl(page, child, number, stage))}</div>
  </div>`;
}

/** The seat the child leaves in: the one it came in, one that was given, or one the family got. */
function seatChange(page: RecordPage, child: Child, number: number): Html {
  const { voice, names, record } = page.view;
  const id = `seat-${number}`;
  const said = history(record.current, `seat ${child.id}`);
  const words = ({ change }: Said) => {
    if (change.kind !== 'seat') return null;
    if (!change.seat) return voice.say('record.kept');
    const { how, kind, description } = change.seat;
    return `${voice.say(`record.${how}`)}: ${voice.name('kind', kind)}${description && `, ${description}`}`;
  };
  const last = said.at(-1)?.change;
  const now = last?.kind === 'seat' ? (last.seat?.how ?? 'kept') : null;
  const came = useOf(page.view.review.found.case, child.id).seatId;
  return html`<h3 id="${id}-label">${voice.say('record.seatLeft')}</h3>
    <p class="reported">${voice.say('record.cameIn')}: ${came == null ? voice.say('case.unknown') : typed(names.seat(came))}</p>
    ${entryForm(
      page,
      'seat',
      { child: child.id },
      html`<details${now !== null && now !== 'kept' && html` open`}><summary>${voice.say('record.otherSeat')}</summary>
        <div class="typed"><label>${voice.say('fact.kind')}
          <select name="kind">${SEAT_KINDS.map((kind) => html`<option value="${kind}">${voice.name('kind', kind)}</option>`)}</select></label>
        <label>${voice.say('fact.description')}
          <input name="description" type="text" maxlength="${MAX_NAME_LENGTH}" autocomplete="off"></label></div></details>
      ${tapButtons(
        `${id}-label`,
        (['kept', 'supplied', 'replaced'] as const).map((code) => ({
          code,
          words: voice.say(`record.${code}`),
          chosen: code === now,
        })),
      )}`,
    )}
    ${saidPart(page.view, said, words)}`;
}

/** A child's size that no child of the age has, by the growth tables, with a way to confirm it. */
function oddSize(page: RecordPage, child: Child): Html | false {
  const { voice, review } = page.view;
  const odd = review.implausible.filter(({ childId }) => childId === child.id);
  if (odd.length === 0) return false;
  const what = voice.measures.list(odd.map(({ measure }) => voice.name('limit', measure)));
  return html`<div class="notice bad" role="alert"><p>${voice.say('record.implausible', { what })}</p>
    ${entryForm(
      page,
      'fact',
      { path: `children.${child.id}.sizeConfirmed`, stage: 'found' },
      html`<button type="submit" name="value" value="true">${voice.say('record.confirmSize')}</button>`,
    )}</div>`;
}

/** All that is measured and seen of one child, as found and as left. */
export function childRecord(page: RecordPage, child: Child, number: number, { facts, toVerify }: FactList): Html {
  const { voice, names, review } = page.view;
  const [found, left] = [useOf(review.found.case, child.id), useOf(review.left.case, child.id)];
  const modes = [found.mode, left.mode].filter((mode) => mode != null);
  const asked = (shown: Shown) => modes.length === 0 || modes.some(shown);
  const row = (owner: Recordable['owner'], field: string, stages: readonly Stage[]) => {
    const at = facts.findIndex((fact) => fact.owner === owner && fact.id === child.id && fact.field === field);
    const fact = facts[at];
    return fact && factRow(page, fact, at, stages, toVerify.has(fact.path));
  };
  const advice = review.left.assessment.children.find(({ childId }) => childId === child.id)?.advice;
  const more = facts.filter(
    ({ owner, id, field, path }) =>
      owner === 'children' &&
      id === child.id &&
      !MEASURED.includes(field) &&
      field !== 'sizeConfirmed' &&
      (field !== 'ageMonths' || toVerify.has(path)),
  );
  const rest = more.map(({ field }) => row('children', field, ['found']));
  const restToVerify = more.some(({ path }) => toVerify.has(path));
  return html`<section class="card child-record" id="child-${number}" data-part="child-${number}" aria-labelledby="child-${number}-name">
    <h2 id="child-${number}-name">${typed(names.child(child.id))}</h2>
    ${
      advice &&
      html`<p class="advised"><span class="label">${voice.say('child.advised')}</span> <strong>${voice.name('mode', advice.mode)}</strong>
        <span class="tag ${advice.certainty}">${voice.say(`child.${advice.certainty}`)}</span></p>`
    }
    <h3>${voice.say('record.measure')}</h3>
    ${oddSize(page, child)}
    <div class="measures">${MEASURED.map((field) => row('children', field, ['found']))}</div>
    <details${restToVerify && html` open`}><summary>${voice.say('record.moreOfChild')}</summary>${rest}</details>
    <h3>${voice.say('record.installation')}</h3>
    ${placeRow(page, child, number, toVerify.has(`uses.${child.id}.positionId`))}
    ${INSTALLATION.filter(([field, shown]) => asked(shown) || toVerify.has(`uses.${child.id}.${field}`)).map(([field]) => row('uses', field, ['found', 'left']))}
    ${seatChange(page, child, number)}
  </section>`;
}
