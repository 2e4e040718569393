import { childOf, perChild, type Question, seatFact, UNSURE } from './question.ts';
import { hearDates } from './seat-dates.ts';
import { hasSeat } from './seats.ts';

/** Expiry or useful life, asked by itself where only the date of manufacture was found. */
export const expiryDate: Question = {
  id: 'expiry-date',
  slot: 'date',
  numeric: true,
  deaf: ['date', 'birthDate', 'ageMonths', 'vehicleYear'],
  subjects: perChild(
    (child, view) =>
      hasSeat(child, view) &&
      view.known(seatFact(child, 'manufactureDate')) &&
      !view.known(seatFact(child, 'usefulLifeYears')),
  ),
  facts: (subject) => [seatFact(childOf(subject), 'expiryDate')],
  choices: () => ['not-found', 'unsure'],
  choose: () => UNSURE,
  hear: (heard, subject) => hearDates(heard, subject, 'expiryDate'),
};
