import { isBrief } from '../brief.ts';
import type { FactValue } from '../facts.ts';
import { childOf, facts, type Question, UNSURE } from './question.ts';

const UNSPACED = /\p{Script=Han}/u;
const LONGEST_UNSPACED = 2;

interface YesNo extends Pick<Question, 'id' | 'subjects'>, Partial<Pick<Question, 'core' | 'words' | 'wording'>> {
  readonly fact: (child: string) => string;
  readonly yes: FactValue;
  readonly no: FactValue;
}

/** A question with the answers yes, no and "I don't know" about one fact of a child, its seat or its use. */
export function yesNo({ fact, yes, no, ...rest }: YesNo): Question {
  const answer = (word: string | undefined, child: string) =>
    word === 'unsure' ? UNSURE : facts({ [fact(child)]: word === 'yes' ? yes : no });
  return {
    ...rest,
    slot: 'yes-no',
    facts: (subject) => [fact(childOf(subject))],
    choices: () => ['yes', 'no', 'unsure'],
    choose: ([id], subject) => answer(id, childOf(subject)),
    hear: ({ text, reading }, subject) => {
      // Where words are not parted, a sign that says "yes" is also a part of other words.
      const unclear = UNSPACED.test(text) && !isBrief(text, LONGEST_UNSPACED);
      if (unclear && reading.intent !== 'unsure') return null;
      const word = reading.values.answer ?? (reading.intent === 'unsure' ? 'unsure' : undefined);
      return word ? answer(word, childOf(subject)) : null;
    },
  };
}
