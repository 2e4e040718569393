import {
  carFact,
  childOf,
  facts,
  type Outcome,
  perChild,
  type Question,
  seatFact,
  seatOf,
  useFact,
} from './question.ts';

const sameSeatFact = (child: string): string => `conversation.${child}.sameSeat`;

const outcome = (child: string, same: boolean): Outcome =>
  facts(
    {
      [sameSeatFact(child)]: same,
      ...(same && { [useFact(child, 'seatId')]: seatOf(child), [`seats.${seatOf(child)}`]: true }),
    },
    [same ? 'yes' : 'no'],
  );

/** In another car: whether the seat that is known moves there, or another one is to be asked about. */
export const sameSeat: Question = {
  id: 'same-seat',
  core: true,
  slot: 'yes-no',
  subjects: perChild((child, view) => {
    const mode = view.modeOf(child);
    const rides = mode !== null && mode !== 'seat-belt';
    return view.known(carFact) && rides && (view.known(seatFact(child, 'kind')) || view.known(sameSeatFact(child)));
  }),
  facts: (subject) => [sameSeatFact(childOf(subject))],
  choices: () => ['yes', 'no'],
  choose: ([id], subject) => outcome(childOf(subject), id === 'yes'),
  hear: ({ reading }, subject) => {
    const { answer } = reading.values;
    // Whoever does not know is asked about the seat that is there.
    if (answer === undefined && reading.intent !== 'unsure') return null;
    return outcome(childOf(subject), answer === 'yes');
  },
};
