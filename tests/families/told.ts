import type { Case, Child, Seat } from '#shared/case.ts';
import type { Family, Gap } from './family.ts';

const without = <T extends object>(whole: T, ...fields: readonly (keyof T)[]): T =>
  Object.fromEntries(Object.entries(whole).filter(([field]) => !fields.includes(field as keyof T))) as T;

/** What a caregiver with these gaps can tell of a seat. Nobody knows whether a seat of unknown history was in a crash. */
function seatAsTold(seat: Seat, gaps: readonly Gap[]): Seat {
  const hidden: (keyof Seat)[] = [];
  if (gaps.includes('dates')) hidden.push('manufactureDate', 'expiryDate', 'usefulLifeYears');
  if (gaps.includes('expiry')) hidden.push('expiryDate', 'usefulLifeYears');
  if (gaps.includes('recall')) hidden.push('recall');
  if (gaps.includes('seat-weight')) hidden.push('massKg');
  if (gaps.includes('anchor-limit') || seat.labelReadable === false) hidden.push('lowerAnchorLimitKg');
  if (gaps.includes('manuals')) hidden.push('bothAllowed', 'borrowedAllowed');
  if (seat.labelReadable === false) hidden.push('modes');
  if (seat.acquired === 'unknown-second-hand' && seat.crash?.happened !== true) hidden.push('crash');
  return without(seat, ...hidden);
}

const childAsTold = (child: Child, gaps: readonly Gap[]): Child =>
  gaps.includes('size') ? without(child, 'heightCm') : child;

/** The part of the truth that the caregiver of a family can tell. */
export function told({ truth, gaps }: Family): Case {
  const { vehicle, ...rest } = truth;
  const positions = vehicle?.positions?.map((place) =>
    gaps.includes('hardware') ? without(place, 'belt', 'lowerAnchors', 'tetherAnchor', 'facing') : place,
  );
  return {
    ...rest,
    children: truth.children.map((child) => childAsTold(child, gaps)),
    seats: truth.seats.map((seat) => seatAsTold(seat, gaps)),
    vehicle: vehicle && { ...vehicle, positions },
  };
}
