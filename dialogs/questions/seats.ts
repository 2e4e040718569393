import type { RestraintMode } from '#shared/case.ts';
import { factOf } from '../facts.ts';
import { seatFact, unbornFact, useFact, type View } from './question.ts';
import { usesSeat } from './riding-mode.ts';

/** Whether the child is still to be born: it has no size and rides nowhere yet. */
export const unborn = (child: string, view: View): boolean => view.known(unbornFact(child));

/** Whether the family has a seat for this child. */
export const hasSeat = (child: string, view: View): boolean => factOf(view.case, useFact(child, 'seatId')) != null;

/** The mode in which the child's seat is used today, or null without a seat or without a restraint mode. */
export const seatMode = (child: string, view: View): RestraintMode | null => {
  const mode = view.modeOf(child);
  return usesSeat(mode) && hasSeat(child, view) ? (mode as RestraintMode) : null;
};

/** Rear- or forward-facing: a restraint with a harness, attached to the vehicle. */
export const harnessed = (child: string, view: View): boolean => {
  const mode = seatMode(child, view);
  return mode === 'rear-facing' || mode === 'forward-facing';
};

/** Whether there may be a label to read: nobody has said that it is gone. */
export const hasLabel = (child: string, view: View): boolean =>
  factOf(view.case, seatFact(child, 'labelReadable')) !== false;
