import { RESTRAINT_MODES } from '#shared/case.ts';
import type { Facts } from './facts.ts';
import type { Answer } from './intake-context.ts';
import { type Interpretation, type Message, type Standing, say, standingAsk, wordsOf } from './interpretation.ts';
import { childOf, seatFact } from './questions/question.ts';
import { settle } from './settle.ts';
import type { LabelFields } from './understanding/label-print.ts';
import { viewOf } from './view.ts';

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

/** The child that a label read out of its turn is of: the one the question is about, or the only one, if it rides in a seat. */
function childAtHand({ ask, context }: Pick<Standing, 'ask' | 'context'>): string | null {
  if (!ask) return null;
  const view = viewOf(context);
  const [only, ...others] = view.children;
  const child = ask.subject.child ?? (others.length === 0 ? only : undefined);
  return child && (RESTRAINT_MODES as readonly unknown[]).includes(view.modeOf(child)) ? child : null;
}

/** The child whose seat's label a photo shows that comes now; null where nobody can tell. */
export function labelledChild(
  { value, context }: Pick<Standing, 'value' | 'context'>,
  { kind }: PhotoReading,
): string | null {
  const ask = standingAsk(value, context);
  if (ask && asksOfLabel({ ask })) return childOf(ask.subject);
  return kind === 'read' ? childAtHand({ ask, context }) : null;
}

/**
 * A photo of a label: all that was read of it is read back first, whether a question of the label stands or it came by
 * itself. Any other is kept for the technician; before consent none is.
 */
export function hearPhoto(standing: Standing, message: Message, photo: PhotoReading): Interpretation {
  const { ask, context } = standing;
  if (!context.consented) return say({ key: 'say.photo-before-consent' });
  const full = message.photosFull ? [{ key: 'say.photo-full' }] : [];
  if (photo.kind === 'problem' && photo.problem !== 'unreadable') return say({ key: `say.photo-${photo.problem}` });
  const child = labelledChild(standing, photo);
  if (!ask || !child) return say(...(full.length > 0 ? full : [{ key: 'say.photo-kept' }]));
  if (photo.kind === 'problem') return say(...full, { key: 'say.photo-unreadable' });
  const { mode } = ask.subject;
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
