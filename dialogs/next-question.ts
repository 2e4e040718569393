import { BLOCKS } from './questions/order.ts';
import { otherCarFact, type Question, questionKey, type Subject, type View } from './questions/question.ts';
import { BY_MODE } from './riding-questions.ts';

/** A question with what it is about now. */
export interface Ask {
  readonly question: Question;
  readonly subject: Subject;
  readonly key: string;
}

const ask = (question: Question, subject: Subject): Ask => ({ question, subject, key: questionKey(question, subject) });

/** What a question is about now. How a child rides that rides in the other car is asked about there. */
const subjectsOf = (question: Question, view: View, child: string | undefined): readonly Subject[] =>
  child !== undefined && BY_MODE.has(question.id) && view.known(otherCarFact(child))
    ? []
    : question.subjects(view, child);

/** Every question that applies to this family now, asked or not, in order. */
export function applicable(view: View): readonly Ask[] {
  return BLOCKS.flatMap(({ per, questions }) => {
    const rounds = per === 'child' ? view.children : [undefined];
    return rounds.flatMap((child) => questions.flatMap((q) => subjectsOf(q, view, child).map((s) => ask(q, s))));
  });
}

function open({ question, subject, key }: Ask, view: View): boolean {
  if (question.settled ? question.settled(subject, view) : view.answered(key).times > 0) return false;
  if (view.answered(key).unsure) return false;
  const paths = question.facts(subject, view);
  if (paths.every((path) => view.known(path))) return false;
  return question.core === true || paths.some((path) => !view.known(path) && view.matters(path));
}

/** The first question that is still worth asking, or null when the review can begin. */
export function nextQuestion(view: View): Ask | null {
  for (const { per, questions } of BLOCKS)
    for (const child of per === 'child' ? view.children : [undefined])
      for (const question of questions)
        for (const subject of subjectsOf(question, view, child)) {
          const candidate = ask(question, subject);
          if (open(candidate, view)) return candidate;
        }
  return null;
}

/** The question of a key, if it applies to this family. */
export const askOf = (key: string, view: View): Ask | null => applicable(view).find((a) => a.key === key) ?? null;
