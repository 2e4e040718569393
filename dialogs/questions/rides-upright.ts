import { childFact, perChild } from './question.ts';
import { yesNo } from './yes-no.ts';

/** Whether the child sits properly for the whole trip: part of being ready for a booster. */
export const ridesUpright = yesNo({
  id: 'rides-upright',
  subjects: perChild((child, view) => view.modeOf(child) === 'booster' || view.modeOf(child) === 'seat-belt'),
  fact: (child) => childFact(child, 'ridesUpright'),
  yes: true,
  no: false,
});
