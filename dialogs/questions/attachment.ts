import { toInterval } from '#shared/interval.ts';
import { lbToKg } from '#shared/units.ts';
import { factOf } from '../facts.ts';
import { childOf, facts, perChild, type Question, seatFact, UNSURE, useFact, type View } from './question.ts';
import { harnessed } from './seats.ts';
import { yesNo } from './yes-no.ts';

const attachmentOf = (child: string, view: View) => factOf(view.case, useFact(child, 'attachment'));

export const usesLowerAnchors = (child: string, view: View): boolean =>
  harnessed(child, view) && ['lower-anchors', 'both'].includes(String(attachmentOf(child, view)));

/** Heavier restraints are not sold (common practice). */
const HEAVIEST_RESTRAINT_KG = lbToKg(35);
/** Child and restraint together, the stricter of the makers' options (S-028 to S-031). */
const STRICTEST_TOTAL_KG = lbToKg(60);

/** Lower anchors in use by a child who, in the heaviest restraint, could be too heavy for them. */
export const mayOverloadLowerAnchors = (child: string, view: View): boolean => {
  const weight = toInterval(view.case.children.find(({ id }) => id === child)?.weightKg);
  return usesLowerAnchors(child, view) && (weight === null || weight.max + HEAVIEST_RESTRAINT_KG > STRICTEST_TOTAL_KG);
};

export const usesSeatBelt = (child: string, view: View): boolean =>
  harnessed(child, view) && ['seat-belt', 'both'].includes(String(attachmentOf(child, view)));

/** What holds the restraint to the vehicle. */
export const attachment: Question = {
  id: 'attachment',
  slot: null,
  words: 'attachment',
  subjects: perChild(harnessed),
  facts: (subject) => [useFact(childOf(subject), 'attachment')],
  choices: () => ['lower-anchors', 'seat-belt', 'both', 'none', 'unsure'],
  choose: ([id], subject) =>
    id === 'unsure' ? UNSURE : facts({ [useFact(childOf(subject), 'attachment')]: id as string }),
};

/** Whether the seat's manual allows lower anchors and seat belt together. */
export const bothAllowed = yesNo({
  id: 'both-allowed',
  subjects: perChild((child, view) => harnessed(child, view) && attachmentOf(child, view) === 'both'),
  fact: (child) => seatFact(child, 'bothAllowed'),
  yes: true,
  no: false,
});

/** Whether both manuals allow the inner anchors of the side places to be used in the centre. */
export const borrowedAllowed = yesNo({
  id: 'borrowed-allowed',
  subjects: perChild((child, view) => {
    const position = view.positionOf(child);
    return (
      usesLowerAnchors(child, view) &&
      position !== null &&
      factOf(view.case, `vehicle.positions.${position}.lowerAnchors`) === false
    );
  }),
  fact: (child) => seatFact(child, 'borrowedAllowed'),
  yes: true,
  no: false,
});
