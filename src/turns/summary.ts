import type { Step } from '#dialogs/conversation.ts';
import { nextQuestion } from '#dialogs/next-question.ts';
import { dueFact } from '#dialogs/questions/question.ts';
import { factsOf, viewOf } from '#dialogs/view.ts';
import { assess } from '#shared/assess.ts';
import type { PreVisitSummary } from '#shared/summary.ts';
import type { Channel } from './turns-types.ts';

interface About {
  readonly channel: Channel;
  readonly createdAt: string;
}

const noCase = (asOf: string): PreVisitSummary['case'] => ({ asOf, children: [], seats: [], uses: [] });

/** Checks only a person can make, then every unknown fact that could still raise a finding. */
export function verifyFirst({ unknowns, children }: PreVisitSummary['assessment']): string[] {
  const facts = unknowns.filter(({ couldRaise }) => couldRaise.length > 0).map(({ fact }) => fact);
  const checks = children.flatMap(({ childId, advice }) =>
    advice.verify.map((check) => `children.${childId}.${check}`),
  );
  return [...new Set([...checks, ...facts])];
}

/** A child still to be born stands in the case as a newborn; when it is due is for the technician to know. */
const dueNotes = ({ answers }: Step['snapshot']['context']): readonly string[] => {
  const facts = factsOf(answers);
  return Object.keys(facts).flatMap((path) => {
    const child = /^conversation\.(\w+)\.unborn$/.exec(path)?.[1];
    return child ? [`${child}: not born yet, due ${facts[dueFact(child)] ?? 'unknown'}`] : [];
  });
};

/** What ties the cases of a family with two cars together. */
const carNotes = ({ answers, earlier }: Step['snapshot']['context']): readonly string[] => {
  const facts = factsOf(answers);
  const elsewhere = Object.keys(facts).flatMap((path) => {
    const child = /^conversation\.(\w+)\.otherCar$/.exec(path)?.[1];
    return child && facts[path] === true ? [`${child}: rides in another car`] : [];
  });
  return [...earlier.map(({ reference }) => `same family, first car: ${reference}`), ...elsewhere];
};

/** The pre-visit summary of a conversation as it stands. Before consent it holds nothing of what was said. */
export function summaryOf(step: Omit<Step, 'reply'>, { channel, createdAt }: About): PreVisitSummary {
  const { context, value } = step.snapshot;
  const { consented } = context;
  const known = consented ? step.case : noCase(context.today);
  const assessment = consented ? step.assessment : assess(known);
  const person = value === 'withPerson';
  const contact = context.contact === null ? [] : [context.contact];
  return {
    reference: context.reference,
    createdAt,
    language: context.language,
    channel,
    complete:
      consented && (value === 'sent' || value === 'booking' || (person && nextQuestion(viewOf(context)) === null)),
    person,
    event: context.eventId,
    case: known,
    assessment,
    caregiverWords: consented ? context.words : [],
    verifyFirst: verifyFirst(assessment),
    notes: [
      ...(consented ? [...carNotes(context), ...dueNotes(context)] : []),
      ...(consented || person ? context.notes : []),
      ...contact,
    ].join('\n'),
  };
}
