import { isBrief } from '../brief.ts';
import type { Facts } from '../facts.ts';
import { childOf, facts, type Outcome, type Question, type Subject, UNSURE, type View } from './question.ts';

/** One thing a checklist shows: what it means when ticked, what it means when the list was read and it was not. */
export interface Item {
  readonly id: string;
  readonly ticked: (child: string, view: View) => Facts;
  /** Facts that hold when this item, and any other about the same fact, was left alone. */
  readonly good: (child: string, view: View) => Facts;
  readonly shown?: (child: string, view: View) => boolean;
}

interface Checklist extends Pick<Question, 'id' | 'subjects'> {
  readonly items: readonly Item[];
  /** Facts that stay unknown although the list was answered, given what was ticked. */
  readonly cannotKnow?: (ids: readonly string[], child: string) => readonly string[];
}

/** "None of them", "no hay nada": a denial of the whole list takes few words. */
const LONGEST_NONE = 3;

/**
 * A grouped question: one turn, one answer (contracts, Grouped questions). `none` sets every fact shown to its good
 * value, `unsure` leaves all unknown, and with some ticked the others become good. Free words settle only what they name.
 */
export function checklist({ items, cannotKnow, ...rest }: Checklist): Question {
  const shown = (subject: Subject, view: View) => items.filter((item) => item.shown?.(childOf(subject), view) ?? true);

  const ticked = (ids: readonly string[], subject: Subject, view: View): Facts =>
    Object.assign({}, ...items.filter(({ id }) => ids.includes(id)).map((item) => item.ticked(childOf(subject), view)));

  const choose = (ids: readonly string[], subject: Subject, view: View): Outcome => {
    if (ids.includes('unsure')) return UNSURE;
    const child = childOf(subject);
    const known: Record<string, Facts[string]> = Object.assign(
      {},
      ...shown(subject, view).map((i) => i.good(child, view)),
    );
    Object.assign(known, ticked(ids, subject, view));
    const declined = cannotKnow?.(ids, child) ?? [];
    for (const path of declined) delete known[path];
    return { kind: 'facts', facts: known, chosen: ids, declined };
  };

  return {
    ...rest,
    slot: 'yes-no',
    many: true,
    words: rest.id,
    facts: (subject, view) => [
      ...new Set(shown(subject, view).flatMap((item) => Object.keys(item.ticked(childOf(subject), view)))),
    ],
    choices: (subject, view) => [...shown(subject, view).map(({ id }) => id), 'none', 'unsure'],
    choose,
    hear: ({ text, named, denied, reading }, subject, view) => {
      if (named.includes('none')) return choose(['none'], subject, view);
      const listed = named.filter((id) => items.some((item) => item.id === id));
      // "No coat" says that there is none, and nothing about the rest of the list.
      const absent = Object.assign(
        {},
        ...items.filter(({ id }) => denied.includes(id)).map((item) => item.good(childOf(subject), view)),
      );
      if (listed.length > 0) return facts({ ...absent, ...ticked(listed, subject, view) }, listed);
      if (Object.keys(absent).length > 0) return facts(absent);
      if (denied.length > 0) return null;
      // In a longer message the "no" may be about one thing only.
      if (reading.values.answer === 'no') return isBrief(text, LONGEST_NONE) ? choose(['none'], subject, view) : null;
      return reading.values.answer === 'unsure' || reading.intent === 'unsure' ? UNSURE : null;
    },
  };
}
