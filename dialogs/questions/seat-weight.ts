import { mayOverloadLowerAnchors } from './attachment.ts';
import { childOf, facts, perChild, type Question, seatFact, UNSURE } from './question.ts';

/** The restraint's own mass: with no figure on the label, the lower-anchor limit follows from it (S-028 to S-031). */
export const seatWeight: Question = {
  id: 'seat-weight',
  slot: null,
  numeric: true,
  deaf: ['weightKg'],
  subjects: perChild(mayOverloadLowerAnchors),
  facts: (subject) => [seatFact(childOf(subject), 'massKg')],
  choices: () => ['unsure'],
  choose: () => UNSURE,
  hear: ({ limits, reading }, subject) => {
    const kg = limits?.maxWeightKg ?? limits?.minWeightKg;
    if (kg != null) return facts({ [seatFact(childOf(subject), 'massKg')]: kg });
    return reading.intent === 'unsure' ? UNSURE : null;
  },
};
