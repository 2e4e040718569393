import type { Case, Child, Position, Seat, Use } from '#shared/case.ts';
import type { CaregiverWords } from '#shared/summary.ts';
import { inToCm, lbToKg } from '#shared/units.ts';

/** An invented family: nobody's name, nobody's seat. */
export interface DemoFamily {
  readonly language: string;
  readonly complete: boolean;
  readonly person: boolean;
  readonly notes: string;
  readonly words: readonly CaregiverWords[];
  readonly facts: Omit<Case, 'asOf' | 'jurisdiction'>;
}

/** A seat about whose history nothing is wrong. */
export const CARED_FOR: Partial<Seat> = {
  acquired: 'new',
  crash: { happened: false },
  labelReadable: true,
  partsComplete: true,
  certified: true,
  recall: 'none',
  registered: true,
};

/** An installation at which nothing is wrong. */
export const WELL_INSTALLED: Partial<Use> = {
  beltLocked: true,
  twisted: false,
  movementCm: { min: 0, max: 2.54 },
  harness: {
    straps: 'at',
    pinchable: false,
    chestClip: 'armpit',
    bulkyClothing: false,
    addOnProduct: false,
    infantInsert: false,
  },
};

/** Limits as a label prints them: pounds and inches; null where it states none. */
export const limits = (minLb: number | null, maxLb: number | null, maxIn: number | null) => ({
  minWeightKg: minLb === null ? null : lbToKg(minLb),
  maxWeightKg: maxLb === null ? null : lbToKg(maxLb),
  minHeightCm: null,
  maxHeightCm: maxIn === null ? null : inToCm(maxIn),
});

export const rear = (side: 'left' | 'center' | 'right'): Position => ({
  id: `rear-${side}`,
  row: 2,
  side,
  belt: 'lap-shoulder',
  lowerAnchors: side !== 'center',
  tetherAnchor: true,
  frontAirBag: 'none',
  facing: 'forward',
});

export const front: Position = {
  id: 'front',
  row: 1,
  side: 'right',
  belt: 'lap-shoulder',
  lowerAnchors: false,
  tetherAnchor: false,
  frontAirBag: 'active',
  facing: 'forward',
};

export const size = (weightLb: number, heightIn: number): Partial<Child> => ({
  weightKg: lbToKg(weightLb),
  heightCm: inToCm(heightIn),
});
