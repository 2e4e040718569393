import { mayOverloadLowerAnchors } from './attachment.ts';
import { childOf, facts, perChild, type Question, seatFact, UNSURE } from './question.ts';
import { hasLabel, seatMode } from './seats.ts';

/** The child's weight up to which the label allows the lower anchors. */
export const lowerAnchorLimit: Question = {
  id: 'lower-anchor-limit',
  slot: null,
  numeric: true,
  deaf: ['weightKg', 'heightCm'],
  subjects: (view, child) =>
    perChild((c, v) => mayOverloadLowerAnchors(c, v) && hasLabel(c, v))(view, child).flatMap(({ child: c }) => {
      const mode = seatMode(c as string, view);
      return mode ? [{ child: c as string, mode }] : [];
    }),
  facts: (subject) => [seatFact(childOf(subject), `lowerAnchorLimitKg.${subject.mode}`)],
  choices: () => ['no-label', 'unsure'],
  choose: () => UNSURE,
  hear: ({ limits, reading }, subject) => {
    const kg = limits?.maxWeightKg ?? limits?.minWeightKg;
    if (kg != null) return facts({ [seatFact(childOf(subject), `lowerAnchorLimitKg.${subject.mode}`)]: kg });
    return reading.intent === 'unsure' || limits?.noLimit ? UNSURE : null;
  },
};
