import { factOf } from '../facts.ts';
import { checklist, type Item } from './checklist.ts';
import { perChild, seatFact } from './question.ts';
import { hasSeat } from './seats.ts';

const item = (id: string, field: string): Item => ({
  id,
  ticked: (child) => ({ [seatFact(child, `crash.${field}`)]: false }),
  good: (child) => ({ [seatFact(child, `crash.${field}`)]: true }),
});

/** The five conditions of a minor crash (S-131), asked as what went wrong. */
export const crashDetails = checklist({
  id: 'crash-details',
  subjects: perChild(
    (child, view) => hasSeat(child, view) && factOf(view.case, seatFact(child, 'crash.happened')) === true,
  ),
  items: [
    item('not-drivable', 'drivable'),
    item('door-damaged', 'nearestDoorUndamaged'),
    item('injuries', 'noInjuries'),
    item('air-bags-deployed', 'noAirBags'),
    item('seat-damaged', 'noVisibleSeatDamage'),
  ],
});
