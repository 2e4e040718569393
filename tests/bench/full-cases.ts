import type { Case } from '#shared/case.ts';
import { lbToKg } from '#shared/units.ts';

/** A fixed sequence of numbers from 0 up to 1, so that every run meets the same families. */
const sequence = (seed: number): (() => number) => {
  let state = seed;
  return () => {
    state = (state * 1103515245 + 12345) % 2147483648;
    return state / 2147483648;
  };
};

const STAGES = [
  { mode: 'rear-facing', kind: 'convertible', months: [3, 36], kg: [5, 16], cm: [60, 98] },
  { mode: 'forward-facing', kind: 'convertible', months: [20, 66], kg: [11, 24], cm: [82, 118] },
  { mode: 'booster', kind: 'booster', months: [40, 110], kg: [15, 36], cm: [100, 142] },
] as const;

/** Invented one-child families with every fact known, about half of the observations good and half of them wrong. */
export const fullCases = (count: number): readonly Case[] => {
  const next = sequence(20260516);
  const between = ([min, max]: readonly [number, number]) => min + next() * (max - min);
  const oneOf = <T>(values: readonly T[]): T => values[Math.floor(next() * values.length)] as T;
  const often = <T>(good: T, wrong: T): T => (next() < 0.8 ? good : wrong);
  return Array.from({ length: count }, () => {
    const stage = oneOf(STAGES);
    const label = {
      minWeightKg: null,
      minHeightCm: null,
      minAgeMonths: null,
    };
    return {
      asOf: '2026-05-16',
      jurisdiction: oneOf(['US-CA', 'US-TX', 'US-WA', 'US-NY']),
      needsInterpreter: next() < 0.3,
      children: [
        {
          id: 'c1',
          ageMonths: Math.floor(between(stage.months)),
          sex: oneOf(['female', 'male'] as const),
          weightKg: between(stage.kg),
          heightCm: between(stage.cm),
          sizeConfirmed: true,
          ridesUpright: true,
          bornBeforeWeek37: false,
          medicalNeeds: often(false, true),
        },
      ],
      seats: [
        {
          id: 's1',
          kind: stage.kind,
          modes:
            stage.kind === 'booster'
              ? { booster: { ...label, minWeightKg: lbToKg(40), maxWeightKg: lbToKg(100), maxHeightCm: 145 } }
              : {
                  'rear-facing': { ...label, minWeightKg: lbToKg(5), maxWeightKg: lbToKg(40), maxHeightCm: 109.22 },
                  'forward-facing': {
                    ...label,
                    minWeightKg: lbToKg(26.5),
                    maxWeightKg: lbToKg(65),
                    maxHeightCm: 124.46,
                  },
                },
          massKg: 9.5,
          lowerAnchorLimitKg: { 'rear-facing': 15.9, 'forward-facing': 18.1 },
          bothAllowed: false,
          borrowedAllowed: false,
          manufactureDate: '2021-05',
          expiryDate: oneOf(['2029-05', '2026-08', '2025-12']),
          usefulLifeYears: 8,
          acquired: 'new',
          crash: {
            happened: often(false, true),
            drivable: true,
            nearestDoorUndamaged: true,
            noInjuries: true,
            noAirBags: true,
            noVisibleSeatDamage: true,
          },
          labelReadable: often(true, false),
          partsComplete: often(true, false),
          certified: true,
          recall: oneOf(['none', 'open', 'unchecked']),
          registered: often(true, false),
        },
      ],
      vehicle: {
        modelYear: 2014,
        lowerAnchorLimitKg: 29.5,
        positions: [
          {
            id: 'p2L',
            row: 2,
            side: 'left',
            belt: often('lap-shoulder', 'lap-only'),
            lowerAnchors: true,
            tetherAnchor: often(true, false),
            frontAirBag: 'none',
            facing: 'forward',
          },
        ],
      },
      uses: [
        {
          childId: 'c1',
          seatId: 's1',
          positionId: 'p2L',
          mode: stage.mode,
          attachment: oneOf(['lower-anchors', 'seat-belt', 'both']),
          beltPath: often(stage.mode === 'forward-facing' ? 'forward-facing' : 'rear-facing', 'forward-facing'),
          beltLocked: often(true, false),
          twisted: often(false, true),
          tether: often('attached', 'not-attached'),
          movementCm: often(1, 4),
          recline: often('in-range', 'too-upright'),
          headClearanceCm: 6,
          harness: {
            straps: oneOf(['below', 'at', 'above']),
            pinchable: often(false, true),
            chestClip: often('armpit', 'low'),
            bulkyClothing: often(false, true),
            addOnProduct: often(false, true),
            infantInsert: often(false, true),
          },
          beltFit: { lap: often('thighs', 'belly'), shoulder: often('chest', 'neck') },
        },
      ],
    } satisfies Case;
  });
};
