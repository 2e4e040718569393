import { checklist, type Item } from './checklist.ts';
import { positionFact } from './position.ts';
import { perChild } from './question.ts';
import { harnessed } from './seats.ts';

const item = (
  id: string,
  field: string,
  ticked: string | boolean,
  good: string | boolean,
  shown?: Item['shown'],
): Item => ({
  id,
  ticked: (child, view) => ({ [positionFact(child, field, view)]: ticked }),
  good: (child, view) => ({ [positionFact(child, field, view)]: good }),
  ...(shown && { shown }),
});

/** What the vehicle offers at the place the child rides in. */
export const vehicleHardware = checklist({
  id: 'vehicle-hardware',
  subjects: perChild((child, view) => view.positionOf(child) !== null),
  items: [
    item('lap-only', 'belt', 'lap-only', 'lap-shoulder'),
    item('inflatable', 'belt', 'inflatable', 'lap-shoulder'),
    item('side-facing', 'facing', 'side', 'forward'),
    item('no-lower-anchors', 'lowerAnchors', false, true, harnessed),
    item('no-tether-anchor', 'tetherAnchor', false, true, harnessed),
  ],
});
