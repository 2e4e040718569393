import { inToCm } from '#shared/units.ts';
import type { FactValue } from '../facts.ts';
import { usesSeatBelt } from './attachment.ts';
import { checklist, type Item } from './checklist.ts';
import { perChild, useFact, type View } from './question.ts';
import { harnessed, seatMode } from './seats.ts';

/** More than an inch at the belt path (S-175); how much more is for the technician to measure. */
export const MOVES = { min: 2.55, max: 30 };
export const STAYS = { min: 0, max: inToCm(1) };

const rearFacing = (child: string, view: View): boolean => seatMode(child, view) === 'rear-facing';

const item = (id: string, field: string, ticked: FactValue, good: FactValue, shown?: Item['shown']): Item => ({
  id,
  ticked: (child) => ({ [useFact(child, field)]: ticked }),
  good: (child) => ({ [useFact(child, field)]: good }),
  ...(shown && { shown }),
});

/** What can be seen and felt of the installation. */
export const installCheck = checklist({
  id: 'install-check',
  subjects: perChild(harnessed),
  items: [
    item('moves', 'movementCm', MOVES, STAYS),
    {
      id: 'wrong-belt-path',
      ticked: (child, view) => ({
        [useFact(child, 'beltPath')]: rearFacing(child, view) ? 'forward-facing' : 'rear-facing',
      }),
      good: (child, view) => ({
        [useFact(child, 'beltPath')]: rearFacing(child, view) ? 'rear-facing' : 'forward-facing',
      }),
    },
    item('belt-unlocked', 'beltLocked', false, true, usesSeatBelt),
    item('twisted', 'twisted', true, false),
    item('too-upright', 'recline', 'too-upright', 'in-range', rearFacing),
    item('too-reclined', 'recline', 'too-reclined', 'in-range', rearFacing),
  ],
});
