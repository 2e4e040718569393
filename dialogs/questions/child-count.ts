import { isBrief } from '../brief.ts';
import { carFact, facts, type Question } from './question.ts';

const MOST = 8;
/** "Two girls and a boy" says more than its first number. */
const LONGEST_COUNT = 4;

/** "Just one, my daughter": who answers and then tells more has answered. */
const firstClause = (text: string): string => text.trim().split(/[,.;:!，。、،؛\n]/u)[0] ?? '';

const extraChildren = (count: number) =>
  Object.fromEntries([
    ['conversation.childCount', count],
    ...Array.from({ length: count }, (_, i) => [`children.c${i + 1}`, true] as const),
  ]);

/** How many children are to be checked. */
export const childCount: Question = {
  id: 'child-count',
  core: true,
  slot: null,
  numeric: true,
  deaf: ['vehicleYear', 'date', 'mode', 'seatKind'],
  misheard: (own, { ageMonths }) =>
    ageMonths?.[0] === Number(own['conversation.childCount']) * 12 ? ['ageMonths'] : [],
  words: 'count',
  // In another car the children are known, and of those that do not ride in it nothing is asked.
  subjects: (view) => (view.known(carFact) && view.known('conversation.childCount') ? [] : [{}]),
  facts: () => ['conversation.childCount'],
  choices: () => ['1', '2', '3', '4'],
  choose: ([id]) => facts(extraChildren(Number(id))),
  hear: ({ text, named }) => {
    const count = Number(named[0]);
    if (!Number.isInteger(count) || count < 1) return null;
    return count > MOST
      ? { kind: 'invalid', why: { key: 'invalid.child-count', values: { most: MOST } } }
      : { ...facts(extraChildren(count)), ...(isBrief(firstClause(text), LONGEST_COUNT) ? {} : { confirm: true }) };
  },
};
