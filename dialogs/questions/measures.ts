import type { Facts, FactValue } from '../facts.ts';
import type { Heard, Outcome } from './question.ts';
import { facts, UNSURE } from './question.ts';

/** A number or a pair from the reader as a case holds it. */
export const toMeasure = (value: number | readonly [number, number]): FactValue =>
  typeof value === 'number' ? value : value[0] === value[1] ? value[0] : { min: value[0], max: value[1] };

/** What a message says to a question about one value: the value, "don't know", or nothing. */
export function hearValue(heard: Heard, known: Facts | null): Outcome | null {
  if (known) {
    const confirm = heard.reading.confidence === 'confirm';
    return confirm ? { kind: 'facts', facts: known, confirm } : facts(known);
  }
  return heard.reading.intent === 'unsure' || heard.reading.values.answer === 'unsure' ? UNSURE : null;
}
