import type { Facts } from './facts.ts';
import { toMeasure } from './questions/measures.ts';
import { childFact, seatFact } from './questions/question.ts';
import { ridingFacts } from './questions/riding-mode.ts';
import { seatKindFacts } from './questions/seat-kind.ts';
import type { ReadValues } from './understanding/types.ts';

/** Facts and the question that would have asked for them. */
export interface Landing {
  readonly question: string;
  readonly facts: Facts;
}

type Lander = (values: ReadValues, child: string) => Landing | null;

const LANDERS: Readonly<Partial<Record<keyof ReadValues, Lander>>> = {
  ageMonths: ({ ageMonths }, child) =>
    ageMonths
      ? {
          question: `age:${child}`,
          facts: { [childFact(child, 'ageMonths')]: toMeasure(ageMonths), [childFact(child, 'birthDate')]: null },
        }
      : null,
  birthDate: ({ birthDate }, child) =>
    birthDate
      ? {
          question: `age:${child}`,
          facts: { [childFact(child, 'birthDate')]: birthDate, [childFact(child, 'ageMonths')]: null },
        }
      : null,
  weightKg: ({ weightKg }, child) =>
    weightKg === undefined
      ? null
      : { question: `weight:${child}`, facts: { [childFact(child, 'weightKg')]: toMeasure(weightKg) } },
  heightCm: ({ heightCm }, child) =>
    heightCm === undefined
      ? null
      : { question: `height:${child}`, facts: { [childFact(child, 'heightCm')]: toMeasure(heightCm) } },
  mode: ({ mode }, child) => (mode ? { question: `riding-mode:${child}`, facts: ridingFacts(child, mode) } : null),
  seatKind: ({ seatKind }, child) =>
    seatKind ? { question: `seat-kind:${child}`, facts: seatKindFacts(child, seatKind) } : null,
  date: ({ date }, child) =>
    date ? { question: `seat-dates:${child}`, facts: { [seatFact(child, 'manufactureDate')]: date } } : null,
  vehicleYear: ({ vehicleYear }) =>
    vehicleYear === undefined ? null : { question: 'vehicle', facts: { 'vehicle.modelYear': vehicleYear } },
  jurisdiction: ({ jurisdiction }) => (jurisdiction ? { question: 'place', facts: { jurisdiction } } : null),
};

/** Everything a message states beyond the question asked, each under the question that would have asked for it. */
export function landValues(values: ReadValues, child: string, deaf: readonly (keyof ReadValues)[]): readonly Landing[] {
  return (Object.keys(LANDERS) as (keyof ReadValues)[])
    .filter((field) => !deaf.includes(field))
    .flatMap((field) => LANDERS[field]?.(values, child) ?? []);
}
