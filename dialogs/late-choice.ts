import { hearAnswer } from './hear-answer.ts';
import type { Part } from './interpretation.ts';
import { applicable } from './next-question.ts';
import { heardBack } from './settle.ts';
import { viewOf } from './view.ts';

/** Ids that many questions share, so that they tell nothing about which question was meant. */
const SHARED = ['yes', 'no', 'none', 'unsure', 'skip', 'continue', 'restart', 'person'];

/**
 * A choice of a question answered some turns ago: a button of an old turn, or a message that was overtaken. It counts as
 * a new answer to the question it belongs to.
 */
export const lateChoice: Part = (standing, message, reading, ears) => {
  const ids = message.choiceIds;
  if (ids.length === 0 || ids.some((id) => SHARED.includes(id))) return null;
  const view = viewOf(standing.context);
  const asks = applicable(view).filter(({ key }) => view.answered(key).times > 0);
  const ask = asks.findLast(({ question, subject }) => {
    const choices = question.choices(subject, view);
    return ids.every((id) => choices.includes(id));
  });
  if (!ask) return null;
  const heard = hearAnswer({ ...standing, ask }, ask, message, reading, ears);
  return heard?.event?.type === 'ANSWER' ? { ...heard, lead: heardBack(heard.event.answers, view) } : heard;
};
