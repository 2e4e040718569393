import { assess } from '#shared/assess.ts';
import type { Assessment } from '#shared/assessment.ts';
import { decide } from '#shared/decide.ts';
import { dangerKey } from './dangers.ts';
import type { Facts } from './facts.ts';
import type { Answer, IntakeContext } from './intake-context.ts';
import { carFact, seatOf } from './questions/question.ts';
import { BY_MODE } from './riding-questions.ts';
import { caseOf } from './view.ts';

/** The answer that says which car is spoken of; it belongs to no message. */
const MARK = 'another-car';

/** Questions about a car and how the children ride in it; all else is about the children and their seats. */
const OF_A_CAR = new Set([
  'riding-mode',
  'same-seat',
  'position',
  'front-air-bag',
  'rear-row',
  'vehicle-hardware',
  'vehicle',
  ...BY_MODE,
]);

const idOf = ({ question }: Answer): string => question.split(':')[0] as string;

const without = (facts: Facts, gone: (path: string) => boolean): Answer['facts'] =>
  Object.fromEntries(Object.entries(facts).filter(([path]) => !gone(path)));

const inACar = (path: string): boolean =>
  /^(?:vehicle|uses)\./.test(path) || /^conversation\.\w+\.otherCar$/.test(path);

/** Whether the conversation still has a car to offer: a family is interviewed about two at most. */
export const offersAnotherCar = ({ earlier }: IntakeContext): boolean => earlier.length === 0;

/** How long the visit of the whole family takes: it has one appointment, whatever number of cars it comes with. */
export const minutesOfAll = ({ earlier }: IntakeContext, { visit }: Assessment): number =>
  earlier.reduce((sum, { minutes }) => sum + minutes, visit.minutes);

/** The answers that name the car; they stay when the family starts over. */
export const carMark = (answers: readonly Answer[]): Answer[] => answers.filter((answer) => idOf(answer) === MARK);

/** Whether the family started over within the same case. */
export const startsOver = (before: IntakeContext, after: IntakeContext): boolean =>
  before.reference === after.reference &&
  before.answers.length > carMark(before.answers).length &&
  after.answers.length === carMark(after.answers).length;

/** Answers that "back" may take away; what was said of the first car stays as it was sent. */
export const takeable = (answers: readonly Answer[]): readonly Answer[] => answers.filter(({ turn }) => turn > 0);

/**
 * The family in another car, as a case of its own: the children and their seats are known, the car and how they ride in
 * it are not. Its reference is the first one's with a number.
 */
export function inAnotherCar(context: IntakeContext): IntakeContext {
  const mark: Answer = { question: MARK, facts: { [carFact]: 2 }, declined: [], unsure: false, turn: 0 };
  const kept = context.answers
    .filter((answer) => !OF_A_CAR.has(idOf(answer)))
    .map((answer) => ({
      ...answer,
      turn: 0,
      facts: without(answer.facts, inACar),
      declined: answer.declined.filter((path) => !inACar(path)),
    }));
  const answers = [mark, ...kept];
  const still = decide(caseOf({ today: context.today, answers })).findings.map(dangerKey);
  return {
    ...context,
    answers,
    words: [],
    notes: [],
    reopened: null,
    pending: null,
    misunderstood: 0,
    // What was said of the other car is not taken back here; what holds in any car is not said twice.
    told: context.told.filter((key) => still.includes(key)),
    reference: `${context.reference}-2`,
    earlier: [...context.earlier, { reference: context.reference, minutes: assess(caseOf(context)).visit.minutes }],
  };
}

const saidOf = (added: readonly Answer[], field: string, value: boolean): readonly string[] =>
  added.flatMap(({ facts }) =>
    Object.entries(facts).flatMap(([path, said]) => {
      const child = new RegExp(`^conversation\\.(\\w+)\\.${field}$`).exec(path)?.[1];
      return child && said === value ? [child] : [];
    }),
  );

/** Without the seat of a child that has another one in this car. */
export function withoutOtherSeat(context: IntakeContext, added: readonly Answer[]): IntakeContext {
  const children = saidOf(added, 'sameSeat', false);
  if (children.length === 0) return context;
  const ofSeat = (path: string): boolean =>
    children.some((child) => path.startsWith(`seats.${seatOf(child)}`) || path === `uses.${child}.seatId`);
  const stale = ({ facts, declined }: Answer): boolean => {
    const paths = [...Object.keys(facts), ...declined];
    return paths.length > 0 && paths.every(ofSeat);
  };
  return { ...context, answers: context.answers.filter((answer) => !stale(answer)) };
}

/** Without a child that does not ride in this car: it is in the case of the car in which it does. */
export function withoutAbsent(context: IntakeContext): IntakeContext {
  const absent = saidOf(context.answers, 'absent', true);
  if (absent.length === 0) return context;
  const itsOwn = (path: string): boolean =>
    absent.some((child) =>
      new RegExp(`^(?:children\\.${child}|seats\\.${seatOf(child)}|uses\\.${child})(?:\\.|$)`).test(path),
    );
  const answers = context.answers.flatMap((answer) => {
    const facts = without(answer.facts, itsOwn);
    const emptied = Object.keys(facts).length === 0 && absent.some((child) => answer.question.split(':')[1] === child);
    return emptied ? [] : [{ ...answer, facts }];
  });
  return { ...context, answers };
}
