import { isBrief } from '../brief.ts';
import { childFact, childOf, facts, perChild, type Question, UNSURE } from './question.ts';
import { unborn } from './seats.ts';

const LONGEST_NO = 6;

/** Born early, or a medical need: the child's clinician and a specially trained technician come in. */
export const careNeeds: Question = {
  id: 'care-needs',
  slot: 'yes-no',
  many: true,
  words: 'care-needs',
  subjects: perChild((child, view) => !unborn(child, view)),
  facts: (subject) => [childFact(childOf(subject), 'medicalNeeds'), childFact(childOf(subject), 'bornBeforeWeek37')],
  choices: () => ['born-early', 'medical', 'none', 'unsure'],
  choose: (ids, subject) => {
    const child = childOf(subject);
    if (ids.includes('unsure')) return UNSURE;
    return facts(
      {
        [childFact(child, 'bornBeforeWeek37')]: ids.includes('born-early'),
        [childFact(child, 'medicalNeeds')]: ids.includes('medical'),
      },
      ids,
    );
  },
  hear: ({ text, named, reading }, subject, view) => {
    const told = named.filter((id) => id === 'born-early' || id === 'medical');
    if (told.length > 0) return careNeeds.choose?.(told, subject, view) ?? null;
    const answer = reading.values.answer;
    // "Healthy" says it all; in a longer message the "no" may be about something else.
    if (named.includes('none') || (answer === 'no' && isBrief(text, LONGEST_NO)))
      return careNeeds.choose?.(['none'], subject, view) ?? null;
    if (answer === 'yes') return facts({ [childFact(childOf(subject), 'medicalNeeds')]: true }, ['medical']);
    return answer === 'unsure' || reading.intent === 'unsure' ? UNSURE : null;
  },
};
