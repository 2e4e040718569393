import type { Case, Position } from '#shared/case.ts';
import { type Html, html } from './html.ts';

const CELL = { width: 116, height: 84, gap: 10 };
const EDGE = 18;
const HOOD = 40;
const SIDES = ['left', 'center', 'right'] as const;
const LETTERS = 13;

type Side = (typeof SIDES)[number];
type Placed = Position & { readonly row: number; readonly side: Side };

/** Who sits at a place, and how, in words; `changed` is edged more boldly. */
export interface DrawnRider {
  readonly positionId: string;
  readonly who: string;
  readonly how: readonly string[];
  readonly changed?: boolean;
}

export interface SeatingPlan {
  /** Unique on the page. */
  readonly id: string;
  readonly title: string;
  /** All that the drawing shows, for those who do not see it. */
  readonly description: string;
  readonly positions: readonly Position[];
  readonly riders: readonly DrawnRider[];
  readonly words: { readonly front: string; readonly driver: string };
  /** Positions that nobody has described: drawn with broken lines. */
  readonly unsure?: ReadonlySet<string>;
}

const isPlaced = (position: Position): position is Placed => position.row != null && position.side != null;

const shorten = (text: string): string => {
  const letters = [...text];
  return letters.length > LETTERS ? `${letters.slice(0, LETTERS - 1).join('')}…` : text;
};

const leftOf = (side: Side): number => EDGE + SIDES.indexOf(side) * (CELL.width + CELL.gap);

/** A vehicle seat from above, its back at the bottom. */
const seat = (left: number, top: number, kind: string): Html =>
  html`<rect class="place ${kind}" x="${left}" y="${top}" width="${CELL.width}" height="${CELL.height - 12}" rx="12"></rect>
    <rect class="place ${kind}" x="${left + 8}" y="${top + CELL.height - 9}" width="${CELL.width - 16}" height="9" rx="4.5"></rect>`;

function place(position: Placed, rider: DrawnRider | undefined, top: number, unsure: boolean): Html {
  const left = leftOf(position.side);
  const middle = left + CELL.width / 2;
  const kind = [rider ? 'taken' : '', rider?.changed ? 'changed' : '', unsure ? 'unsure' : '']
    .filter(Boolean)
    .join(' ');
  return html`<g>${seat(left, top, kind)}
    ${rider && html`<text class="sits" x="${middle}" y="${top + 22}" text-anchor="middle">${rider.changed && '● '}${shorten(rider.who)}</text>`}
    ${rider?.how.slice(0, 3).map((line, i) => html`<text class="hardware" x="${middle}" y="${top + 38 + i * 14}" text-anchor="middle">${line}</text>`)}
  </g>`;
}

/**
 * Who sits where, drawn as a vehicle from above with its front at the top and its left on the left in every language. It
 * prints in black. `drawings.css` styles it. Nothing where no position has both a row and a side; others are left out, so
 * a table or list beside it should say the same.
 */
export function seatingPlanDrawing({
  id,
  title,
  description,
  positions,
  riders,
  words,
  unsure,
}: SeatingPlan): Html | false {
  const placed = positions.filter(isPlaced);
  if (placed.length === 0) return false;
  const rows = [...new Set([1, ...placed.map(({ row }) => row)])].toSorted((a, b) => a - b);
  const topOf = (row: number) => HOOD + rows.indexOf(row) * (CELL.height + 14);
  const width = 2 * EDGE + 3 * CELL.width + 2 * CELL.gap;
  const height = HOOD + rows.length * (CELL.height + 14) + 10;
  const driver = { left: leftOf('left'), top: topOf(1) };
  const driven = !placed.some(({ row, side }) => row === 1 && side === 'left');
  return html`<figure class="map seating"><svg role="img" viewBox="-2 -2 ${width + 4} ${height + 4}" aria-labelledby="${id}-title ${id}-desc">
    <title id="${id}-title">${title}</title>
    <desc id="${id}-desc">${description}</desc>
    <path class="place" d="M0 ${HOOD + 20}Q4 6 ${EDGE + 50} 2H${width - EDGE - 50}Q${width - 4} 6 ${width} ${HOOD + 20}V${height - 24}Q${width} ${height} ${width - 24} ${height}H24Q0 ${height} 0 ${height - 24}Z"></path>
    <text class="front" x="${width / 2}" y="24" text-anchor="middle">▲ ${words.front}</text>
    ${
      driven &&
      html`<g>${seat(driver.left, driver.top, 'unsure')}<circle class="place" cx="${driver.left + CELL.width / 2}" cy="${driver.top + 24}" r="13"></circle>
      <text class="hardware" x="${driver.left + CELL.width / 2}" y="${driver.top + 56}" text-anchor="middle">${words.driver}</text></g>`
    }
    ${placed.map((position) =>
      place(
        position,
        riders.find(({ positionId }) => positionId === position.id),
        topOf(position.row),
        unsure?.has(position.id) ?? false,
      ),
    )}
  </svg></figure>`;
}

/** The riders of a case as it stands, such as one recorded as left; `how` puts the use of a child into lines of at most 16 letters. */
export const ridersOf = (
  { uses }: Case,
  who: (childId: string) => string,
  how: (use: Case['uses'][number]) => readonly string[],
): DrawnRider[] =>
  uses.flatMap((use) =>
    use.positionId == null ? [] : [{ positionId: use.positionId, who: who(use.childId), how: how(use) }],
  );
