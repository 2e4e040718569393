import type { Case, Position } from '../case.ts';

const SIDES = ['left', 'center', 'right'] as const;
const LETTER = { left: 'L', center: 'C', right: 'R' } as const;

/**
 * The case with the places of the second row that nobody has described, where the vehicle is known to have a row behind
 * the front: most have three there (common practice). All but row and side is unknown, and whether the place is there at
 * all; `added` names them, so that every plan that uses one says so.
 */
export const withUsualPlaces = (family: Case): { readonly family: Case; readonly added: ReadonlySet<string> } => {
  const positions = family.vehicle?.positions ?? [];
  if (!positions.some(({ row }) => row != null && row > 1)) return { family, added: new Set() };
  const described = positions.filter(({ row }) => row === 2);
  const ids = new Set(positions.map(({ id }) => id));
  const added = SIDES.filter((side) => !described.some((one) => one.side === side || one.side == null)).map(
    (side): Position => {
      const usual = `p2${LETTER[side]}`;
      return { id: ids.has(usual) ? `${usual}.undescribed` : usual, row: 2, side, frontAirBag: 'none' };
    },
  );
  return {
    family: { ...family, vehicle: { ...family.vehicle, positions: [...positions, ...added] } },
    added: new Set(added.map(({ id }) => id)),
  };
};
