import { childOf, perChild, type Question, seatFact, seatOf, UNSURE, type View } from './question.ts';
import { hearDates } from './seat-dates.ts';
import { hasSeat } from './seats.ts';

/** Restraints may be used for six years at least (common practice); a younger one has years left, whatever its label says. */
const SURELY_USABLE_YEARS = 5;

const mayBeOld = (child: string, view: View): boolean => {
  const made = view.case.seats.find(({ id }) => id === seatOf(child))?.manufactureDate;
  return made != null && Number(view.today.slice(0, 4)) - Number(made.slice(0, 4)) >= SURELY_USABLE_YEARS;
};

/** Expiry or useful life, asked by itself where only the date of manufacture was found. */
export const expiryDate: Question = {
  id: 'expiry-date',
  slot: 'date',
  numeric: true,
  deaf: ['date', 'birthDate', 'ageMonths', 'vehicleYear'],
  subjects: perChild(
    (child, view) => hasSeat(child, view) && mayBeOld(child, view) && !view.known(seatFact(child, 'usefulLifeYears')),
  ),
  facts: (subject) => [seatFact(childOf(subject), 'expiryDate')],
  choices: () => ['not-found', 'unsure'],
  choose: () => UNSURE,
  hear: (heard, subject) => hearDates(heard, subject, 'expiryDate'),
};
