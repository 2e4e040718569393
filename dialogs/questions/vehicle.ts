import { facts, type Question, UNSURE } from './question.ts';

const LONGEST = 200;

/** The vehicle's model year and what it is, in the caregiver's words; asked once more for the year. */
export const vehicle: Question = {
  id: 'vehicle',
  core: true,
  slot: 'vehicle',
  numeric: true,
  subjects: () => [{}],
  facts: () => ['vehicle.modelYear'],
  settled: (_, view) => {
    const { times, unsure } = view.answered('vehicle');
    return unsure || times >= 2 || view.known('vehicle.modelYear');
  },
  choices: () => ['unsure'],
  choose: () => UNSURE,
  hear: ({ text, reading }, _, view) => {
    const { vehicleYear } = reading.values;
    const description = text.trim().slice(0, LONGEST);
    if (vehicleYear !== undefined) {
      const known = {
        'vehicle.modelYear': vehicleYear,
        ...(!view.known('vehicle.description') && { 'vehicle.description': description }),
      };
      return reading.confidence === 'confirm' ? { kind: 'facts', facts: known, confirm: true } : facts(known);
    }
    if (reading.intent === 'unsure') return UNSURE;
    return /\p{L}{3}/u.test(description) && !view.known('vehicle.description')
      ? facts({ 'vehicle.description': description })
      : null;
  },
  wording: (_, view) => {
    if (view.known('vehicle.description')) return 'vehicle-year';
    return view.matters('jurisdiction') && !view.known('jurisdiction') ? 'vehicle-and-place' : 'vehicle';
  },
};
