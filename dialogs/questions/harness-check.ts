import { inToCm } from '#shared/units.ts';
import type { FactValue } from '../facts.ts';
import { checklist, type Item } from './checklist.ts';
import { perChild, useFact, type View } from './question.ts';
import { harnessed, seatMode } from './seats.ts';

/** Less than, and at least, an inch below the top of the shell (S-181); the upper end only bounds what can be. */
export const NEAR_TOP = { min: 0, max: 2.53 };
export const CLEAR_OF_TOP = { min: inToCm(1), max: 60 };

const rearFacing = (child: string, view: View): boolean => seatMode(child, view) === 'rear-facing';
const forwardFacing = (child: string, view: View): boolean => seatMode(child, view) === 'forward-facing';

const item = (id: string, field: string, ticked: FactValue, good: FactValue, shown?: Item['shown']): Item => ({
  id,
  ticked: (child) => ({ [useFact(child, field)]: ticked }),
  good: (child) => ({ [useFact(child, field)]: good }),
  ...(shown && { shown }),
});

/** What can be seen on the child in the harness. Where the straps are is said, not judged, here. */
export const harnessCheck = checklist({
  id: 'harness-check',
  subjects: perChild(harnessed),
  items: [
    item('straps-above', 'harness.straps', 'above', 'at'),
    item('straps-below', 'harness.straps', 'below', 'at'),
    item('pinchable', 'harness.pinchable', true, false),
    item('clip-low', 'harness.chestClip', 'low', 'armpit'),
    item('clip-high', 'harness.chestClip', 'high', 'armpit'),
    item('coat', 'harness.bulkyClothing', true, false),
    item('insert', 'harness.infantInsert', true, false, forwardFacing),
    item('add-on', 'harness.addOnProduct', true, false),
    item('head-near-top', 'headClearanceCm', NEAR_TOP, CLEAR_OF_TOP, rearFacing),
  ],
});
