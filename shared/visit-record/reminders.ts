import type { Assessment } from '../assessment.ts';
import type { Case } from '../case.ts';
import { addMonths, firstDay } from '../dates.ts';
import { parameter } from '../parameters/parameters.ts';
import { isRestraint } from '../rules/rule.ts';
import { useOf } from './set-fact.ts';
import { expiryDay, firstReached } from './take-home.ts';

const BEFORE_OUTGROWING = parameter('reminder-before-outgrowing');
const BEFORE_EXPIRY = parameter('reminder-before-expiry');

export interface Reminder {
  readonly about: 'outgrow' | 'expiry';
  readonly childId: string;
  readonly name: string | null;
  /** The day to send it, YYYY-MM-DD, after the case's own day. */
  readonly on: string;
  /** The day it warns of: the first day of the early month of the forecast, or the seat's last day. */
  readonly date: string;
}

/** What a family should be reminded of, the earliest first: a limit that may be reached, a seat that expires. Nothing that is due already. */
export function remindersOf({ case: family, assessment }: { case: Case; assessment: Assessment }): readonly Reminder[] {
  const { asOf } = family;
  return family.children
    .flatMap((child): Reminder[] => {
      const { mode, seatId } = useOf(family, child.id);
      const of = { childId: child.id, name: child.name?.trim() || null };
      const forecast = assessment.children.find(({ childId }) => childId === child.id)?.forecast ?? [];
      const { earliest } = firstReached(forecast.filter((one) => one.mode === mode));
      const seat = family.seats.find(({ id }) => id === seatId);
      const expires = seat && mode && isRestraint(mode) ? expiryDay(seat, asOf) : null;
      const outgrown = earliest && firstDay(earliest);
      return [
        ...(outgrown
          ? [{ about: 'outgrow' as const, ...of, on: addMonths(outgrown, -BEFORE_OUTGROWING), date: outgrown }]
          : []),
        ...(expires
          ? [{ about: 'expiry' as const, ...of, on: addMonths(expires, -BEFORE_EXPIRY), date: expires }]
          : []),
      ];
    })
    .filter(({ on }) => on > asOf)
    .sort((a, b) => (a.on < b.on ? -1 : a.on > b.on ? 1 : 0));
}
