import fc from 'fast-check';
import type { Case } from '#shared/case.ts';
import type { Spread } from './likely-case.ts';
import { unusualCase } from './unusual-case.ts';

/** Several one-child families in one vehicle, every id made distinct. */
export const familyCase = (spread: Spread): fc.Arbitrary<Case> =>
  fc.array(unusualCase(spread), { minLength: 2, maxLength: 3 }).map((cases): Case => {
    const parts = cases.map((kase, i) => ({
      children: kase.children.map((child) => ({ ...child, id: `${child.id}.${i}` })),
      seats: kase.seats.map((seat) => ({ ...seat, id: `${seat.id}.${i}` })),
      positions: (kase.vehicle?.positions ?? []).map((position) => ({ ...position, id: `${position.id}.${i}` })),
      uses: kase.uses.map((use) => ({
        ...use,
        childId: `${use.childId}.${i}`,
        seatId: use.seatId && `${use.seatId}.${i}`,
        positionId: use.positionId && `${use.positionId}.${i}`,
      })),
    }));
    return {
      asOf: '2026-05-16',
      jurisdiction: cases[0]?.jurisdiction,
      children: parts.flatMap(({ children }) => children),
      seats: parts.flatMap(({ seats }) => seats),
      vehicle: { ...cases[0]?.vehicle, positions: parts.flatMap(({ positions }) => positions) },
      uses: parts.flatMap(({ uses }) => uses),
    };
  });
