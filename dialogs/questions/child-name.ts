import { childFact, childOf, facts, perChild, type Question, UNSURE } from './question.ts';

const LONGEST = 40;

/** A nickname, so that two children are not mixed up; never needed for one. */
export const childName: Question = {
  id: 'child-name',
  core: true,
  slot: null,
  numeric: true,
  deaf: ['jurisdiction', 'mode', 'seatKind', 'vehicleYear', 'date', 'language'],
  subjects: perChild((_, view) => view.children.length > 1),
  facts: (subject) => [childFact(childOf(subject), 'name')],
  choices: () => ['no-name'],
  choose: () => UNSURE,
  hear: ({ text, reading }, subject) => {
    if (reading.intent === 'unsure') return UNSURE;
    const [first = ''] = text.trim().split(/[,;.\n]|\s(?=\d)/);
    const name = first.trim().slice(0, LONGEST);
    return name ? facts({ [childFact(childOf(subject), 'name')]: name }) : null;
  },
};
