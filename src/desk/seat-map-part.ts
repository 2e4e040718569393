import type { Position, Use } from '#shared/case.ts';
import type { CaseView } from './case-view.ts';
import { type Html, html } from './html.ts';

const CELL = { width: 124, height: 104, gap: 6 };
const SIDES = ['left', 'center', 'right'] as const;
const NAME_LENGTH = 13;

const shorten = (text: string): string => {
  const letters = [...text];
  return letters.length > NAME_LENGTH ? `${letters.slice(0, NAME_LENGTH - 1).join('')}…` : text;
};

const mark = (flag: boolean | null | undefined): string => (flag == null ? '?' : flag ? '✓' : '✗');

type Placed = Position & { readonly row: number; readonly side: (typeof SIDES)[number] };

const isPlaced = (position: Position): position is Placed => position.row != null && position.side != null;

function cell({ voice, names }: CaseView, position: Placed, users: readonly Use[], top: number): Html {
  const left = SIDES.indexOf(position.side) * (CELL.width + CELL.gap);
  const middle = left + CELL.width / 2;
  const use = users[0];
  const lines = [
    position.belt ? voice.name('mapBelt', position.belt) : voice.say('map.belt'),
    `${voice.say('map.anchors')} ${mark(position.lowerAnchors)}`,
    `${voice.say('map.tether')} ${mark(position.tetherAnchor)}`,
    ...(position.row === 1 && position.frontAirBag !== 'none'
      ? [`${voice.say('map.airBag')} ${position.frontAirBag ? mark(position.frontAirBag === 'active') : '?'}`]
      : []),
  ];
  const who = users.map(({ childId }) => shorten(names.child(childId)));
  return html`<g>
    <rect class="place${use ? ' taken' : ''}" x="${left}" y="${top}" width="${CELL.width}" height="${CELL.height}" rx="9"></rect>
    <text class="sits" x="${middle}" y="${top + 20}" text-anchor="middle">${use ? `${who[0]}${who.length > 1 ? ` +${who.length - 1}` : ''}` : voice.say('vehicle.nobody')}</text>
    ${use?.mode && html`<text class="how" x="${middle}" y="${top + 36}" text-anchor="middle">${voice.name('mapMode', use.mode)}</text>`}
    ${lines.map((line, i) => html`<text class="hardware" x="${middle}" y="${top + 54 + i * 14}" text-anchor="middle">${line}</text>`)}
  </g>`;
}

/** The seats of the vehicle from above, its front at the top: who sits where, how, and the hardware there. The table below says the same. */
export function seatMapPart(view: CaseView): Html | false {
  const { voice, summary, names } = view;
  const { uses, vehicle } = summary.case;
  const places = (vehicle?.positions ?? []).filter(isPlaced);
  if (places.length === 0) return false;
  const rows = [...new Set(places.map(({ row }) => row))].toSorted((a, b) => a - b);
  const seen = new Set<string>();
  const cells = places.flatMap((position) => {
    const place = `${position.row} ${position.side}`;
    if (seen.has(place)) return [];
    seen.add(place);
    const top = 22 + rows.indexOf(position.row) * (CELL.height + CELL.gap);
    return [
      cell(
        view,
        position,
        uses.filter((use) => use.positionId === position.id),
        top,
      ),
    ];
  });
  const width = SIDES.length * (CELL.width + CELL.gap) - CELL.gap;
  const height = 24 + rows.length * (CELL.height + CELL.gap);
  const sitting = uses.flatMap(({ childId, positionId }) =>
    positionId == null ? [] : [`${names.child(childId)}: ${names.position(positionId)}`],
  );
  return html`<figure class="map"><svg role="img" viewBox="-2 0 ${width + 4} ${height}" aria-labelledby="map-title map-desc">
    <title id="map-title">${voice.say('map.title')}</title>
    <desc id="map-desc">${sitting.join('; ')}</desc>
    <text class="front" x="${width / 2}" y="14" text-anchor="middle">▲ ${voice.say('map.front')}</text>
    ${cells}
  </svg><figcaption class="quietly">${voice.say('map.legend')}</figcaption></figure>`;
}
