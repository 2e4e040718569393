import { hearValue, toMeasure } from './measures.ts';
import { childFact, childOf, perChild, type Question, UNSURE } from './question.ts';
import { unborn } from './seats.ts';

/** The child's height, or lying length, as said. */
export const height: Question = {
  id: 'height',
  core: true,
  slot: 'height',
  numeric: true,
  subjects: perChild((child, view) => !unborn(child, view)),
  facts: (subject) => [childFact(childOf(subject), 'heightCm')],
  choices: () => ['unsure'],
  choose: () => UNSURE,
  hear: (heard, subject) => {
    const { heightCm } = heard.reading.values;
    return hearValue(
      heard,
      heightCm === undefined ? null : { [childFact(childOf(subject), 'heightCm')]: toMeasure(heightCm) },
    );
  },
};
