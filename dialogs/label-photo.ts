import { RESTRAINT_MODES } from '#shared/case.ts';
import type { Facts } from './facts.ts';
import type { Answer } from './intake-context.ts';
import { type Interpretation, type Message, type Standing, say, standingAsk, wordsOf } from './interpretation.ts';
import { childOf, seatFact } from './questions/question.ts';
import { settle } from './settle.ts';
import type { Snapshot } from './snapshot.ts';
import type { LabelFields } from './understanding/label-print.ts';

/** What became of a photo that a caregiver sent: the label's fields, none of them sure, or why there are none. */
export type PhotoReading =
  | { readonly kind: 'read'; readonly fields: LabelFields }
  | { readonly kind: 'problem'; readonly problem: 'no-image' | 'too-large' | 'unreadable' | 'busy' };

/** Questions that a photo of the label can answer. */
const ASKED_OF_LABELS = ['label-limits', 'seat-dates', 'expiry-date'];

const DATES = ['manufactureDate', 'expiryDate', 'usefulLifeYears'];

/** The facts of one question among what was read. */
const factsWhere = (fields: LabelFields, child: string, belongs: (path: string) => boolean): Facts =>
  Object.fromEntries(
    Object.entries(fields)
      .filter(([path]) => belongs(path))
      .map(([path, { value }]) => [seatFact(child, path), value]),
  );

const asksOfLabel = ({ ask }: Pick<Standing, 'ask'>): boolean =>
  ask !== null && ASKED_OF_LABELS.includes(ask.question.id);

/** The child whose seat's label a photo shows that comes now; null where no label is asked about. */
export function labelledChild({ value, context }: Snapshot): string | null {
  const ask = standingAsk(value, context);
  return ask && asksOfLabel({ ask }) ? childOf(ask.subject) : null;
}

/**
 * A photo while a question of the label stands: all that was read of it is read back first. At any other time it is kept
 * for the technician; before consent it is not.
 */
export function hearPhoto(standing: Standing, message: Message, photo: PhotoReading): Interpretation {
  const { ask, context } = standing;
  if (!context.consented) return say({ key: 'say.photo-before-consent' });
  const full = message.photosFull ? [{ key: 'say.photo-full' }] : [];
  if (photo.kind === 'problem' && photo.problem !== 'unreadable') return say({ key: `say.photo-${photo.problem}` });
  if (!ask || !asksOfLabel(standing)) return say(...(full.length > 0 ? full : [{ key: 'say.photo-kept' }]));
  if (photo.kind === 'problem') return say(...full, { key: 'say.photo-unreadable' });
  const child = childOf(ask.subject);
  const mode = ask.subject.mode;
  const answer = (question: string, facts: Facts): readonly Answer[] =>
    Object.keys(facts).length === 0
      ? []
      : [{ question, facts: { ...facts }, declined: [], unsure: false, turn: context.turn }];
  const limits = (each: string) =>
    answer(
      `label-limits:${child}:${each}`,
      factsWhere(photo.fields, child, (path) => path.startsWith(`modes.${each}.`)),
    );
  // The limits that were asked for come first, since a "no" asks for them again.
  const modes = RESTRAINT_MODES.toSorted((a, b) => Number(b === mode) - Number(a === mode));
  const answers = [
    ...modes.flatMap(limits),
    ...answer(
      `seat-dates:${child}`,
      factsWhere(photo.fields, child, (path) => DATES.includes(path)),
    ),
  ];
  if (answers.length === 0) return say(...full, { key: 'say.photo-unreadable' });
  const values = Object.fromEntries(Object.entries(photo.fields).map(([path, { value }]) => [path, value]));
  const heard = settle(context, answers, answers, true, wordsOf(ask.question.id, message, values));
  return { ...heard, lead: [...full, ...heard.lead] };
}
