import { decide } from '#shared/decide.ts';
import { withAnswers } from './context-changes.ts';
import { describeAnswer, linesByChild } from './describe.ts';
import type { Answer, IntakeContext } from './intake-context.ts';
import type { Interpretation, wordsOf } from './interpretation.ts';
import type { View } from './questions/question.ts';
import type { Phrase } from './reply.ts';
import { caseOf, makesCase, viewOf } from './view.ts';

/** Divides answers into those to use and those to read back, and refuses what no case can hold. */
export function settle(
  context: IntakeContext,
  answers: readonly Answer[],
  doubted: readonly Answer[],
  tapped: boolean,
  words: ReturnType<typeof wordsOf>,
): Interpretation {
  const parsed = makesCase(context, answers);
  if (!parsed.ok) return { event: { type: 'MISUNDERSTOOD' }, lead: [refusal(parsed.error.path)] };
  const odd = implausible(context, answers);
  const doubtful = [
    ...answers.filter((a) => doubted.includes(a) || odd.some((path) => path in a.facts)),
    ...earlier(context, answers, odd),
  ];
  const settled = answers.filter((a) => !doubtful.includes(a));
  const lead = [...(tapped ? [] : heardBack(settled, viewOf(withAnswers(context, settled)))), ...careCaution(settled)];
  return { event: { type: 'ANSWER', answers: settled, doubtful, words }, lead };
}

/** A child with special needs is not for this service alone; said when the need is told. */
const careCaution = (answers: readonly Answer[]): readonly Phrase[] =>
  answers.some(({ facts }) =>
    Object.entries(facts).some(([path, value]) => /\.(?:medicalNeeds|bornBeforeWeek37)$/.test(path) && value === true),
  )
    ? [{ key: 'caution.special-care' }]
    : [];

const refusal = (path: string): Phrase => ({ key: path.includes('Date') ? 'invalid.date' : 'invalid.value' });

/** Paths of sizes that no growth reference expects at the child's age and that nobody has confirmed yet. */
function implausible(context: IntakeContext, answers: readonly Answer[]): readonly string[] {
  const theCase = caseOf(withAnswers(context, answers));
  const confirmed = new Set(theCase.children.filter((c) => c.sizeConfirmed).map(({ id }) => id));
  return decide(theCase)
    .findings.filter(({ code, childId }) => code === 'size-implausible' && !confirmed.has(childId ?? ''))
    .flatMap(({ facts }) => facts.filter((path) => /\.(weightKg|heightCm)$/.test(path)));
}

/** Sizes said earlier that only now, with the age known, turn out to be implausible. */
function earlier(context: IntakeContext, answers: readonly Answer[], odd: readonly string[]): readonly Answer[] {
  const old = odd.filter((path) => !answers.some(({ facts }) => path in facts));
  return context.answers
    .filter(({ facts }) => old.some((path) => path in facts))
    .map((answer) => ({ ...answer, turn: context.turn }));
}

/** What was understood, said back before the next question; a line a child where it is about several. */
export function heardBack(answers: readonly Answer[], view: View): readonly Phrase[] {
  const lines = linesByChild(answers, view, describeAnswer);
  if (lines) return lines;
  const phrases = answers.flatMap((answer) => describeAnswer(answer));
  return phrases.length === 0 ? [] : [{ key: 'say.heard', values: { list: { kind: 'list', phrases } } }];
}
