import { hearValue } from './measures.ts';
import { type Question, UNSURE } from './question.ts';

/** The state in which the family drives: its law applies. */
export const place: Question = {
  id: 'place',
  slot: 'place',
  subjects: () => [{}],
  facts: () => ['jurisdiction'],
  choices: () => ['unsure'],
  choose: () => UNSURE,
  hear: (heard) => {
    const { jurisdiction } = heard.reading.values;
    return hearValue(heard, jurisdiction ? { jurisdiction } : null);
  },
};
