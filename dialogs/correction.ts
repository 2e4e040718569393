import { hearAnswer } from './hear-answer.ts';
import { hasValues, type Part, readContext } from './interpretation.ts';
import { askOf } from './next-question.ts';
import { viewOf } from './view.ts';

const FIGURE = /\p{Nd}+(?:[.,]\p{Nd}+)?/gu;

const figuresIn = (text: string): readonly string[] => text.normalize('NFKC').match(FIGURE) ?? [];

/** The text as it would have been with the one figure in place of the other; null where it does not hold that one. */
function corrected(text: string, said: readonly [string, string]): string | null {
  const old = said.find((figure) => figuresIn(text).includes(figure));
  const right = said.find((figure) => figure !== old);
  if (old === undefined || right === undefined || figuresIn(text).includes(right)) return null;
  return text.normalize('NFKC').replace(FIGURE, (figure) => (figure === old ? right : figure));
}

/** "Sorry, 33 not 38": two figures without a unit, one of them just said. It corrects that answer, and is read back. */
export const correction: Part = (standing, message, _reading, ears) => {
  const { context } = standing;
  const last = context.words.at(-1);
  const [one, other, ...more] = figuresIn(message.text);
  if (message.choiceIds.length > 0 || !last?.asking || one === undefined || other === undefined || more.length > 0)
    return null;
  const text = corrected(last.text, [one, other]);
  const answer = context.answers.findLast(({ question }) => question.split(':')[0] === last.asking);
  const ask = answer ? askOf(answer.question, viewOf(context)) : null;
  if (text === null || !ask) return null;
  const read = (asked: typeof ask.question.slot, words: string) =>
    ears.read({ language: context.language, asked, text: words, context: readContext(context, ask) });
  if (hasValues(read(null, message.text))) return null;
  const anew = { ...message, text };
  const heard = hearAnswer({ ...standing, ask }, ask, anew, read(ask.question.slot, text), ears);
  if (heard?.event?.type !== 'ANSWER') return null;
  const { answers, doubtful, words } = heard.event;
  return {
    event: {
      type: 'ANSWER',
      answers: [],
      doubtful: [...answers, ...doubtful],
      words: { ...words, text: message.text },
    },
    lead: [],
  };
};
