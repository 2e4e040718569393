import { checklist, type Item } from './checklist.ts';
import { perChild, seatFact } from './question.ts';
import { hasLabel, hasSeat } from './seats.ts';

const item = (id: string, field: string, ticked: string | boolean, good?: string | boolean): Item => ({
  id,
  ticked: (child) => ({ [seatFact(child, field)]: ticked }),
  good: (child) => (good === undefined ? {} : { [seatFact(child, field)]: good }),
});

/** Where the seat came from and what is known of it. A recall is never ruled out by silence. */
export const seatHistory = checklist({
  id: 'seat-history',
  subjects: perChild(hasSeat),
  items: [
    item('new', 'acquired', 'new', 'new'),
    item('second-hand-known', 'acquired', 'known-second-hand'),
    item('second-hand-unknown', 'acquired', 'unknown-second-hand'),
    item('crash', 'crash.happened', true, false),
    // Said already where the limits were asked; a list read over it does not bring the label back.
    { ...item('label-missing', 'labelReadable', false, true), shown: hasLabel },
    item('parts-missing', 'partsComplete', false, true),
    item('recall-open', 'recall', 'open'),
    item('recall-unchecked', 'recall', 'unchecked'),
    item('not-registered', 'registered', false, true),
    item('not-certified', 'certified', false, true),
  ],
  cannotKnow: (ids, child) => [
    ...(ids.includes('second-hand-unknown') && !ids.includes('crash') ? [seatFact(child, 'crash.happened')] : []),
    // The list offered both answers that count; left alone, a recall stays unknown, for the technician to look up.
    ...(ids.some((id) => id.startsWith('recall-')) ? [] : [seatFact(child, 'recall')]),
  ],
});
