import { childFact, childOf, facts, perChild, type Question, UNSURE } from './question.ts';
import { unborn } from './seats.ts';

/** Only asked where the growth references would judge a size differently for girls and boys. */
export const sex: Question = {
  id: 'sex',
  slot: null,
  words: 'sex',
  subjects: perChild((child, view) => !unborn(child, view)),
  facts: (subject) => [childFact(childOf(subject), 'sex')],
  choices: () => ['female', 'male', 'unsure'],
  choose: ([id], subject) => (id === 'unsure' ? UNSURE : facts({ [childFact(childOf(subject), 'sex')]: id as string })),
};
