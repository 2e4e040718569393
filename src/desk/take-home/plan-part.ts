import { withUsualPlaces } from '#shared/arranging/usual-places.ts';
import type { Case, Use } from '#shared/case.ts';
import type { Words } from '#src/words/words.ts';
import { type Html, html } from '../html.ts';
import { ridersOf, seatingPlanDrawing } from '../seating-plan-drawing.ts';

const PLACE_SIDE = { left: 'L', center: 'C', right: 'R' } as const;

/** A place of the car in the words of the conversation; null where it has none. */
export function placeWords(
  words: Words,
  language: string,
  place: { readonly row?: number | null; readonly side?: keyof typeof PLACE_SIDE | null } | null | undefined,
): string | null {
  if (place?.row == null || place.side == null) return null;
  const key = `choice.position.p${place.row}${PLACE_SIDE[place.side]}`;
  return words.has('chat', key) ? words.say(language, 'chat')(key) : null;
}

interface Planned {
  readonly words: Words;
  readonly language: string;
  /** The case as left. */
  readonly family: Case;
  /** The child's name as text, without marks of direction. */
  readonly who: (childId: string) => string;
  /** Unique on the page. */
  readonly id: string;
}

/** Where everybody sat as the visit ended, drawn in the family's language; nothing where no place is known. */
export function planPart({ words, language, family, who, id }: Planned): Html | false {
  const page = words.say(language, 'page');
  const say = words.say(language, 'take-home');
  const inMode = ({ mode }: Use): string[] =>
    mode != null && words.has('take-home', `drawn.${mode}`) ? [say(`drawn.${mode}`)] : [];
  const riders = ridersOf(family, who, inMode);
  if (riders.length === 0) return false;
  // A car drawn with one seat in the back would not be known as one; those nobody described have broken lines.
  const { family: whole, added } = withUsualPlaces(family);
  const positions = whole.vehicle?.positions ?? [];
  const described = riders.map(({ positionId, who: name, how }) => {
    const place = placeWords(
      words,
      language,
      positions.find((one) => one.id === positionId),
    );
    return [name, ...(place === null ? [] : [place]), ...how].join(', ');
  });
  const drawing = seatingPlanDrawing({
    id,
    title: page('seatMap'),
    description: described.join('; '),
    positions,
    riders,
    words: { front: page('front'), driver: page('driver') },
    unsure: added,
  });
  return drawing && html`<section class="plan"><h3>${page('seatMap')}</h3>${drawing}</section>`;
}
