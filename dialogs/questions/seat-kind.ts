import { SEAT_KINDS, type SeatKind } from '#shared/case.ts';
import type { Facts } from '../facts.ts';
import { hearValue } from './measures.ts';
import {
  childOf,
  facts,
  type Heard,
  type Outcome,
  perChild,
  type Question,
  seatFact,
  seatOf,
  unbornFact,
  useFact,
} from './question.ts';
import { usesSeat } from './riding-mode.ts';

export const seatKindFacts = (child: string, kind: SeatKind): Facts => ({
  [seatFact(child, 'kind')]: kind,
  [useFact(child, 'seatId')]: seatOf(child),
});

const LONGEST = 200;
const ASKED = SEAT_KINDS.filter((kind) => kind !== 'unknown');

/** What kind of restraint the family has for this child; a child on a lap or loose may have none. */
export const seatKind: Question = {
  id: 'seat-kind',
  core: true,
  slot: 'seat-kind',
  words: 'seat-kind',
  subjects: perChild((child, view) => {
    const mode = view.modeOf(child);
    if (view.known(unbornFact(child))) return true;
    return mode !== null && (mode !== 'seat-belt' || view.matters(useFact(child, 'seatId')));
  }),
  facts: (subject) => [seatFact(childOf(subject), 'kind')],
  choices: (subject, view) => [...ASKED, ...(usesSeat(view.modeOf(childOf(subject))) ? [] : ['no-seat']), 'unsure'],
  choose: ([id], subject) => {
    const child = childOf(subject);
    if (id === 'no-seat') return facts({ [useFact(child, 'seatId')]: null }, ['no-seat']);
    if (id === 'unsure') return { kind: 'unsure', facts: { [seatFact(child, 'kind')]: 'unknown' } };
    return facts(seatKindFacts(child, id as SeatKind));
  },
  hear: (heard, subject, view) => hearKind(heard, childOf(subject), usesSeat(view.modeOf(childOf(subject)))),
};

/** The words a caregiver gives first are kept as the seat's description, whatever kind they name. */
function hearKind(heard: Heard, child: string, inUse: boolean): Outcome | null {
  const { seatKind: kind, answer } = heard.reading.values;
  if (!kind && answer === 'no' && !inUse) return facts({ [useFact(child, 'seatId')]: null }, ['no-seat']);
  const description = heard.text.trim().slice(0, LONGEST);
  return hearValue(
    heard,
    kind ? { ...seatKindFacts(child, kind), [seatFact(child, 'description')]: description } : null,
  );
}
