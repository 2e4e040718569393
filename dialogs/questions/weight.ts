import { hearValue, toMeasure } from './measures.ts';
import { childFact, childOf, perChild, type Question, UNSURE } from './question.ts';
import { unborn } from './seats.ts';

/** The child's weight, in any unit, as last measured or as estimated. */
export const weight: Question = {
  id: 'weight',
  core: true,
  slot: 'weight',
  numeric: true,
  subjects: perChild((child, view) => !unborn(child, view)),
  facts: (subject) => [childFact(childOf(subject), 'weightKg')],
  choices: () => ['unsure'],
  choose: () => UNSURE,
  hear: (heard, subject) => {
    const { weightKg } = heard.reading.values;
    return hearValue(
      heard,
      weightKg === undefined ? null : { [childFact(childOf(subject), 'weightKg')]: toMeasure(weightKg) },
    );
  },
};
