import { childOf, dueFact, facts, perChild, type Question, UNSURE } from './question.ts';
import { unborn } from './seats.ts';

/** For a child still to be born: by when the seat has to be ready. It decides nothing, so it is asked once at most. */
export const dueDate: Question = {
  id: 'due-date',
  core: true,
  slot: 'date',
  numeric: true,
  deaf: ['date', 'birthDate', 'ageMonths', 'vehicleYear'],
  subjects: perChild(unborn),
  facts: (subject) => [dueFact(childOf(subject))],
  choices: () => ['unsure'],
  choose: () => UNSURE,
  hear: ({ dates, reading }, subject) => {
    const date = reading.values.date ?? reading.values.birthDate ?? dates?.expiryDate ?? dates?.manufactureDate;
    if (date) return facts({ [dueFact(childOf(subject))]: date });
    return reading.intent === 'unsure' ? UNSURE : null;
  },
};
