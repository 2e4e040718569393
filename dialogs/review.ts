import { childPhrase, describeAnswer } from './describe.ts';
import type { Answer } from './intake-context.ts';
import { type Ask, applicable } from './next-question.ts';
import type { View } from './questions/question.ts';
import type { Phrase } from './reply.ts';

export interface ReviewLine {
  /** Key of the question to ask again; also the id of the choice. */
  readonly key: string;
  readonly phrase: Phrase;
  readonly unsure: boolean;
}

/** Every answer as one line that can be corrected, in the order of the questions. */
export function reviewLines(view: View, answers: readonly Answer[]): readonly ReviewLine[] {
  return applicable(view).flatMap((ask) => {
    const mine = answers.filter(({ question }) => question === ask.key);
    return mine.length === 0 ? [] : [line(ask, mine, view)];
  });
}

function line({ question, subject, key }: Ask, answers: readonly Answer[], view: View): ReviewLine {
  // What was said anew replaces what was said before.
  const facts = Object.assign({}, ...answers.map((answer) => answer.facts));
  const chosen = answers.at(-1)?.chosen;
  const count = facts['conversation.childCount'];
  // Beside the topic "Children" the number alone says enough.
  const said =
    question.id === 'child-count' && count !== undefined
      ? [{ key: 'fact.item', values: { item: String(count) } }]
      : describeAnswer({ question: key, facts, ...(chosen && { chosen }) });
  const unsure = said.length === 0 && answers.some((answer) => answer.unsure);
  const topic: Phrase = {
    key: `topic.${question.id}`,
    values: { ...(subject.child && { child: childPhrase(subject.child, view) }) },
  };
  const value: Phrase = unsure
    ? { key: 'review.not-known' }
    : { key: 'list', values: { list: { kind: 'list', phrases: said } } };
  const about: Phrase = subject.mode
    ? {
        key: 'review.line-mode',
        values: {
          topic: { kind: 'phrase', phrase: topic },
          mode: { kind: 'phrase', phrase: { key: `choice.riding-mode.${subject.mode}` } },
          value: { kind: 'phrase', phrase: value },
        },
      }
    : {
        key: 'review.line',
        values: { topic: { kind: 'phrase', phrase: topic }, value: { kind: 'phrase', phrase: value } },
      };
  return { key, unsure, phrase: about };
}

/** Ids offered at the review: yes, then a line each. */
export const reviewChoices = (view: View): readonly string[] => [
  'yes',
  ...applicable(view)
    .filter(({ key }) => view.answered(key).times > 0)
    .map(({ key }) => key),
];
