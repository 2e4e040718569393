import { childOf, facts, perChild, type Question, UNSURE, useFact } from './question.ts';
import { seatMode } from './seats.ts';

/** Forward-facing only: whether the top tether is hooked to its anchor. */
export const tether: Question = {
  id: 'tether',
  slot: 'yes-no',
  words: 'tether',
  subjects: perChild((child, view) => seatMode(child, view) === 'forward-facing'),
  facts: (subject) => [useFact(childOf(subject), 'tether')],
  choices: () => ['attached', 'not-attached', 'unsure'],
  choose: ([id], subject) =>
    id === 'unsure' ? UNSURE : facts({ [useFact(childOf(subject), 'tether')]: id as string }),
  hear: ({ reading }, subject) => {
    const { answer } = reading.values;
    if (answer === 'yes' || answer === 'no')
      return facts({ [useFact(childOf(subject), 'tether')]: answer === 'yes' ? 'attached' : 'not-attached' });
    return answer === 'unsure' || reading.intent === 'unsure' ? UNSURE : null;
  },
};
