import { checklist, type Item } from './checklist.ts';
import { perChild, useFact } from './question.ts';

const item = (id: string, field: string, ticked: string, good: string): Item => ({
  id,
  ticked: (child) => ({ [useFact(child, `beltFit.${field}`)]: ticked }),
  good: (child) => ({ [useFact(child, `beltFit.${field}`)]: good }),
});

/** How the vehicle's belt lies on a child in a booster or on the belt alone. */
export const beltCheck = checklist({
  id: 'belt-check',
  subjects: perChild((child, view) => ['booster', 'seat-belt'].includes(String(view.modeOf(child)))),
  items: [
    item('lap-on-belly', 'lap', 'belly', 'thighs'),
    item('on-neck', 'shoulder', 'neck', 'chest'),
    item('off-shoulder', 'shoulder', 'off-shoulder', 'chest'),
    item('behind-back', 'shoulder', 'behind-back', 'chest'),
    item('under-arm', 'shoulder', 'under-arm', 'chest'),
  ],
});
