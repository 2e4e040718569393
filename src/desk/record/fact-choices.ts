import { CLEAR_OF_TOP, NEAR_TOP } from '#dialogs/questions/harness-check.ts';
import { MOVES, STAYS } from '#dialogs/questions/install-check.ts';
import type { Recordable } from '#shared/visit-record/recordable.ts';
import { valueWords } from '../fact-words.ts';
import type { Voice } from '../voice.ts';

type Value = string | number | boolean | { readonly min: number; readonly max: number };

/** A value that is tapped; `code` is what the form sends. */
export interface FactChoice {
  readonly code: string;
  readonly value: Value;
}

/** Lengths that are judged against an inch by eye or finger rather than measured: as the conversation reads them. */
const JUDGED: Readonly<Record<string, readonly FactChoice[]>> = {
  movementCm: [
    { code: 'within', value: STAYS },
    { code: 'beyond', value: MOVES },
  ],
  headClearanceCm: [
    { code: 'within', value: NEAR_TOP },
    { code: 'beyond', value: CLEAR_OF_TOP },
  ],
};

/** What can be tapped for a fact; empty where it is typed. */
export function choicesOf({ field, form }: Recordable): readonly FactChoice[] {
  const judged = JUDGED[field];
  if (judged) return judged;
  return form.kind === 'choice' ? form.values.map((value) => ({ code: String(value), value })) : [];
}

const same = (a: unknown, b: unknown): boolean => JSON.stringify(a) === JSON.stringify(b);

export const isChosen = ({ value }: FactChoice, known: unknown): boolean => same(value, known);

/** A value of a fact in words: what is tapped by the words of its button. */
export function factValueWords(fact: Recordable, value: unknown, voice: Voice): string | null {
  const judged = JUDGED[fact.field]?.find((choice) => isChosen(choice, value));
  if (judged) return judgedWords(fact.field, judged.code, voice);
  return valueWords(fact.field.split('.').at(-1) ?? fact.field, value, voice);
}

function judgedWords(field: string, code: string, voice: Voice): string {
  const inch = voice.measures.length(2.54);
  const key = code === 'within' ? 'record.within' : 'record.beyond';
  return field === 'movementCm' || field === 'headClearanceCm' ? voice.say(key, { length: inch }) : code;
}
