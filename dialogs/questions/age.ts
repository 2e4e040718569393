import { hearValue, toMeasure } from './measures.ts';
import { childFact, childOf, facts, perChild, type Question, UNSURE, unbornFact } from './question.ts';

/** A child still to be born is judged as a newborn whose size nobody knows yet. */
const notBornYet = (child: string) =>
  facts({ [childFact(child, 'ageMonths')]: 0, [childFact(child, 'birthDate')]: null, [unbornFact(child)]: true }, [
    'unborn',
  ]);

/** Age in completed months, or a birth date; whichever was said last counts. */
export const age: Question = {
  id: 'age',
  core: true,
  slot: 'age',
  numeric: true,
  subjects: perChild(() => true),
  facts: (subject) => [childFact(childOf(subject), 'ageMonths')],
  words: 'age',
  settled: (subject, view) => {
    const child = childOf(subject);
    return view.known(childFact(child, 'ageMonths')) || view.known(childFact(child, 'birthDate'));
  },
  choices: () => ['unborn', 'unsure'],
  choose: ([id], subject) => (id === 'unborn' ? notBornYet(childOf(subject)) : UNSURE),
  wording: (subject, view) => {
    const sizes = ['weightKg', 'heightCm'].map((size) => childFact(childOf(subject), size));
    return sizes.some(view.known) ? 'age' : 'age-and-size';
  },
  hear: (heard, subject) => {
    const child = childOf(subject);
    const { ageMonths, birthDate } = heard.reading.values;
    if (heard.named.includes('unborn') && !ageMonths && !birthDate) return notBornYet(child);
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
