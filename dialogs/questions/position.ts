import type { Facts } from '../facts.ts';
import { attachment } from './attachment.ts';
import {
  carFact,
  childOf,
  facts,
  otherCarFact,
  perChild,
  type Question,
  UNSURE,
  useFact,
  type View,
} from './question.ts';
import { harnessed } from './seats.ts';

const SIDES = { L: 'left', C: 'center', R: 'right' } as const;

/** Places a child can ride in, as `p<row><side>`; left and right are seen facing forward. */
export const PLACES = ['p2L', 'p2C', 'p2R', 'p3L', 'p3C', 'p3R', 'p1R'] as const;

const FRONT = 'p1R';

const row = (position: string): number => Number(position[1]);

/** Rows behind the front have no frontal passenger air bag (common practice), so it is not asked there. */
const placeFacts = (position: string): Facts => ({
  [`vehicle.positions.${position}.row`]: row(position),
  [`vehicle.positions.${position}.side`]: SIDES[position[2] as keyof typeof SIDES],
  ...(row(position) > 1 && { [`vehicle.positions.${position}.frontAirBag`]: 'none' }),
});

/** Of several children one may ride in another car, which is gone through when this one is done. */
const mayRideElsewhere = (child: string, view: View): boolean => child !== view.children[0] && !view.known(carFact);

/** Places where the other children sit. */
const taken = (child: string, view: View): readonly string[] =>
  view.children.flatMap((other) => (other === child ? [] : (view.positionOf(other) ?? [])));

/** A child's place, and that it does not ride in another car. */
function placed(child: string, id: string, view: View): Facts {
  const back = view.known(otherCarFact(child)) && { [otherCarFact(child)]: null };
  return { [useFact(child, 'positionId')]: id, ...placeFacts(id), ...back };
}

/** Where in the vehicle the child rides. */
export const position: Question = {
  id: 'position',
  core: true,
  slot: null,
  words: 'position',
  subjects: perChild((child, view) => ![null, 'none'].includes(view.modeOf(child))),
  facts: (subject) => [useFact(childOf(subject), 'positionId')],
  invites: () => [attachment],
  wording: (subject, view) =>
    harnessed(childOf(subject), view) && !view.known(useFact(childOf(subject), 'attachment'))
      ? 'position-and-attachment'
      : 'position',
  choices: (subject, view) => {
    const child = childOf(subject);
    const others = taken(child, view);
    const free = PLACES.filter((place) => !others.includes(place));
    return [...free, ...(mayRideElsewhere(child, view) ? ['other-car'] : []), 'unsure'];
  },
  choose: ([id], subject, view) => {
    const child = childOf(subject);
    if (id === undefined || id === 'unsure') return UNSURE;
    if (id === 'other-car') return facts({ [useFact(child, 'positionId')]: null, [otherCarFact(child)]: true });
    return facts(placed(child, id, view));
  },
  // A place that is taken is not offered; whoever names it all the same is asked once more.
  hear: ({ text, named }, subject, view) => {
    const child = childOf(subject);
    const id = taken(child, view).find(
      (place) => place.toLowerCase() === text.trim().toLowerCase() || named[0] === place,
    );
    return id === undefined || named.length > 1 ? null : { ...facts(placed(child, id, view), [id]), confirm: true };
  },
};

const inFront = (child: string, view: View): boolean => view.positionOf(child) === FRONT;

const airBagFact = `vehicle.positions.${FRONT}.frontAirBag`;

/** Only for a child in front: the state of the frontal air bag there. */
export const frontAirBag: Question = {
  id: 'front-air-bag',
  slot: null,
  words: 'front-air-bag',
  subjects: perChild(inFront),
  facts: () => [airBagFact],
  choices: () => ['active', 'off', 'none', 'unsure'],
  choose: ([id]) => (id === 'unsure' ? UNSURE : facts({ [airBagFact]: id as string })),
};

const hasRearPlace = (view: View): boolean => (view.case.vehicle?.positions ?? []).some(({ row }) => (row ?? 1) > 1);

/** Only for a child in front: whether the vehicle has a row behind; "yes" makes its first place known. */
export const rearRow: Question = {
  id: 'rear-row',
  core: true,
  slot: 'yes-no',
  subjects: perChild((child, view) => inFront(child, view) && !hasRearPlace(view)),
  facts: () => ['vehicle.positions.p2C.row'],
  choices: () => ['yes', 'no', 'unsure'],
  choose: ([id]) => (id === 'yes' ? facts(placeFacts('p2C')) : id === 'no' ? facts({}, ['no']) : UNSURE),
  hear: ({ reading }, subject, view) => {
    const word = reading.values.answer ?? (reading.intent === 'unsure' ? 'unsure' : undefined);
    return word ? (rearRow.choose?.([word], subject, view) ?? null) : null;
  },
};

/** Path of a fact about the place in which a child rides. */
export const positionFact = (child: string, field: string, view: View): string =>
  `vehicle.positions.${view.positionOf(child)}.${field}`;
