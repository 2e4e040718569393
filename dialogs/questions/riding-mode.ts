import { MODES_IN_USE, type ModeInUse, RESTRAINT_MODES } from '#shared/case.ts';
import type { Facts } from '../facts.ts';
import { hearValue } from './measures.ts';
import {
  carFact,
  childOf,
  facts,
  perChild,
  type Question,
  seatFact,
  seatOf,
  UNSURE,
  unbornFact,
  useFact,
} from './question.ts';

export const usesSeat = (mode: ModeInUse | null): boolean => RESTRAINT_MODES.includes(mode as never);

/** The facts that a way of riding implies: a restraint mode means that the child's seat is in use. */
export const ridingFacts = (child: string, mode: ModeInUse): Facts => ({
  [useFact(child, 'mode')]: mode,
  ...(usesSeat(mode) && { [useFact(child, 'seatId')]: seatOf(child), [`seats.${seatOf(child)}`]: true }),
  ...(mode === 'seat-belt' && { [useFact(child, 'seatId')]: null }),
});

/** In another car of the family: this child does not ride in it. */
const absentFact = (child: string): string => `conversation.${child}.absent`;

/** How the child rides today. */
export const ridingMode: Question = {
  id: 'riding-mode',
  core: true,
  slot: 'mode',
  words: 'attachment',
  subjects: perChild((child, view) => !view.known(unbornFact(child))),
  facts: (subject) => [useFact(childOf(subject), 'mode')],
  choices: (_, view) => [
    ...MODES_IN_USE,
    ...(view.known(carFact) && view.children.length > 1 ? ['not-in-this-car'] : []),
    'unsure',
  ],
  choose: ([id], subject) => {
    const child = childOf(subject);
    if (id === 'unsure') return UNSURE;
    if (id === 'not-in-this-car') return facts({ [absentFact(child)]: true });
    return facts(ridingFacts(child, id as ModeInUse));
  },
  wording: (subject, view) => {
    if (view.known(carFact)) return 'riding-mode-other-car';
    return view.known(seatFact(childOf(subject), 'kind')) ? 'riding-mode' : 'riding-mode-and-seat';
  },
  hear: (heard, subject) => {
    const { mode } = heard.reading.values;
    if (mode) return hearValue(heard, ridingFacts(childOf(subject), mode));
    // A bare "seat belt" or "nothing" may be all there is, or only a part of it.
    const alone = (['seat-belt', 'none'] as const).find((id) => heard.named.includes(id));
    return alone
      ? { kind: 'facts', facts: ridingFacts(childOf(subject), alone), confirm: true }
      : hearValue(heard, null);
  },
};
