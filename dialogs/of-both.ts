import type { Answer } from './intake-context.ts';
import type { Ask } from './next-question.ts';
import type { Heard, View } from './questions/question.ts';

/** "Both are 3", said of one child: the same answer for the other one too, where nothing is known of it yet. */
export function ofBoth({ question, subject }: Ask, heard: Heard, own: Answer | null, view: View): readonly Answer[] {
  const { child } = subject;
  const [other, ...more] = view.children.filter((each) => each !== child);
  const said = own !== null && !own.unsure && own.chosen === undefined && heard.named.includes('both');
  if (question.id !== 'age' || !child || !other || more.length > 0 || !said) return [];
  if (question.settled?.({ child: other }, view) || view.answered(`age:${other}`).times > 0) return [];
  const moved = ([path, value]: readonly [string, Answer['facts'][string]]) =>
    [path.replace(`children.${child}.`, `children.${other}.`), value] as const;
  return [{ ...own, question: `age:${other}`, facts: Object.fromEntries(Object.entries(own.facts).map(moved)) }];
}
