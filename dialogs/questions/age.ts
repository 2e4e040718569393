import { hearValue, toMeasure } from './measures.ts';
import { childFact, childOf, perChild, type Question, UNSURE } from './question.ts';

/** Age in completed months, or a birth date; whichever was said last counts. */
export const age: Question = {
  id: 'age',
  core: true,
  slot: 'age',
  numeric: true,
  subjects: perChild(() => true),
  facts: (subject) => [childFact(childOf(subject), 'ageMonths')],
  settled: (subject, view) => {
    const child = childOf(subject);
    return view.known(childFact(child, 'ageMonths')) || view.known(childFact(child, 'birthDate'));
  },
  choices: () => ['unsure'],
  choose: () => UNSURE,
  hear: (heard, subject) => {
    const child = childOf(subject);
    const { ageMonths, birthDate } = heard.reading.values;
    if (birthDate)
      return hearValue(heard, { [childFact(child, 'birthDate')]: birthDate, [childFact(child, 'ageMonths')]: null });
    return hearValue(
      heard,
      ageMonths
        ? { [childFact(child, 'ageMonths')]: toMeasure(ageMonths), [childFact(child, 'birthDate')]: null }
        : null,
    );
  },
};
