import type { Case } from '#shared/case.ts';
import { lbToKg } from '#shared/units.ts';
import type { VisitBody, VisitEntry } from '#shared/visit-record/entries.ts';

export const DAY = '2026-05-16';

/** An invented family: a child of two years turned round, in a seat whose label was not read. */
export const FAMILY: Case = {
  asOf: DAY,
  jurisdiction: 'US-CA',
  children: [
    { id: 'c1', name: 'Wren', birthDate: '2024-03-10', sex: 'female', weightKg: { min: 11, max: 13 }, heightCm: 86 },
  ],
  seats: [
    {
      id: 's1',
      description: 'the grey one',
      kind: 'convertible',
      modes: {
        'rear-facing': { minWeightKg: lbToKg(5), maxWeightKg: lbToKg(40), minHeightCm: null, maxHeightCm: 109.22 },
        'forward-facing': { minWeightKg: lbToKg(26.5), maxWeightKg: lbToKg(65), maxHeightCm: 124.46 },
      },
      recall: 'unchecked',
    },
  ],
  vehicle: {
    positions: [
      {
        id: 'p2R',
        row: 2,
        side: 'right',
        belt: 'lap-shoulder',
        lowerAnchors: true,
        tetherAnchor: true,
        frontAirBag: 'none',
      },
    ],
  },
  uses: [
    {
      childId: 'c1',
      seatId: 's1',
      positionId: 'p2R',
      mode: 'forward-facing',
      attachment: 'seat-belt',
      tether: 'not-attached',
      harness: { pinchable: true },
    },
  ],
};

const place = (id: string, side: 'left' | 'center') => ({
  id,
  row: 2,
  side,
  belt: 'lap-shoulder' as const,
  frontAirBag: 'none' as const,
});

/** The same with a brother and a sister, all three beside one another. */
export const THREE: Case = {
  ...FAMILY,
  children: [
    ...FAMILY.children,
    { id: 'c2', name: 'Sorrel', ageMonths: 80, sex: 'male', weightKg: 23, heightCm: 120 },
    { id: 'c3', name: 'Bramble', ageMonths: 50, sex: 'female', weightKg: 17, heightCm: 103 },
  ],
  seats: [...FAMILY.seats, { id: 's2', kind: 'booster' }, { id: 's3', kind: 'forward-facing-harness' }],
  vehicle: { positions: [...(FAMILY.vehicle?.positions ?? []), place('p2L', 'left'), place('p2C', 'center')] },
  uses: [
    ...FAMILY.uses,
    { childId: 'c2', seatId: 's2', positionId: 'p2L', mode: 'booster' },
    { childId: 'c3', seatId: 's3', positionId: 'p2C', mode: 'forward-facing', attachment: 'seat-belt' },
  ],
};

export type Given = VisitBody | { readonly body: VisitBody; readonly at?: string; readonly by?: string };

/** Entries in the order of their arrival, a minute apart, unless told otherwise. */
export const entries = (...given: readonly Given[]): VisitEntry[] =>
  given.map((one, i) => {
    const { body, at, by } = 'body' in one ? one : { body: one, at: undefined, by: undefined };
    return {
      id: `e${String(i + 1).padStart(3, '0')}`,
      seq: i + 1,
      at: at ?? `${DAY}T10:${String(i).padStart(2, '0')}:00.000Z`,
      by: by ?? 'Robin',
      body,
    };
  });

export const fact = (
  path: string,
  value: string | number | boolean | { min: number; max: number } | null,
  stage: 'found' | 'left' = 'found',
) => ({ kind: 'fact', stage, path, value, how: 'seen' }) as const;

export const signOff = { kind: 'sign-off', reported: FAMILY } as const;
