import fc from 'fast-check';
import type { Case, Child, Measure, Seat } from '#shared/case.ts';
import { LB } from '../oracle/point.ts';
import { likelyCase, type Spread } from './likely-case.ts';

const times = (value: Measure | undefined, factor: number): Measure | undefined =>
  value == null
    ? value
    : typeof value === 'number'
      ? value * factor
      : { min: value.min * factor, max: value.max * factor };

const inChild =
  (change: (child: Child) => Partial<Child>) =>
  (kase: Case): Case => ({ ...kase, children: kase.children.map((child) => ({ ...child, ...change(child) })) });
const inSeat =
  (change: (seat: Seat) => Partial<Seat>) =>
  (kase: Case): Case => ({ ...kase, seats: kase.seats.map((seat) => ({ ...seat, ...change(seat) })) });

const bornSo =
  (precision: 'year' | 'month' | 'day') =>
  (kase: Case): Case =>
    inChild(({ ageMonths }) => {
      if (typeof ageMonths !== 'number') return {};
      const day = new Date(Date.UTC(2026, 4 - ageMonths, ageMonths % 2 === 0 ? 16 : 9)).toISOString();
      return { ageMonths: undefined, birthDate: day.slice(0, { year: 4, month: 7, day: 10 }[precision]) };
    })(kase);

/** Slips, gaps and odd corners that families bring now and then. */
const TWISTS: Readonly<Record<string, (kase: Case) => Case>> = {
  none: (kase) => kase,
  'pounds said as kilograms': inChild(({ weightKg }) => ({ weightKg: times(weightKg, 1 / LB) })),
  'kilograms said as pounds': inChild(({ weightKg }) => ({ weightKg: times(weightKg, LB) })),
  'inches said as centimetres': inChild(({ heightCm }) => ({ heightCm: times(heightCm, 1 / 2.54) })),
  'an odd size, confirmed': inChild(({ weightKg }) => ({ weightKg: times(weightKg, 1 / LB), sizeConfirmed: true })),
  'an odd height, not confirmed': inChild(({ heightCm }) => ({ heightCm: times(heightCm, 1.4), sizeConfirmed: false })),
  'born on a day': bornSo('day'),
  'born in a month': bornSo('month'),
  'no label read': inSeat(() => ({ modes: undefined })),
  'no kind told': inSeat(() => ({ kind: undefined })),
  'no kind and no label': inSeat(() => ({ kind: null, modes: null })),
  'no use': (kase) => ({ ...kase, uses: [] }),
  'no seat in hand': (kase) => ({ ...kase, seats: [], uses: kase.uses.map((use) => ({ ...use, seatId: undefined })) }),
  'a spare seat': (kase) => ({
    ...kase,
    seats: [...kase.seats, { id: 's2', recall: 'unchecked', expiryDate: '2026-01', usefulLifeYears: 3 }],
  }),
  'no vehicle': (kase) => ({
    ...kase,
    vehicle: undefined,
    uses: kase.uses.map((use) => ({ ...use, positionId: null })),
  }),
};

/** Twists that leave some number open though the case was exact. */
const OPEN_TWISTS: Readonly<Record<string, (kase: Case) => Case>> = {
  'born in a year': bornSo('year'),
  'no sex told': inChild(() => ({ sex: undefined })),
  'no age told': inChild(() => ({ ageMonths: undefined })),
  'grown up': inChild(() => ({ ageMonths: { min: 238, max: 242 }, weightKg: undefined })),
};

/** A likely case, every other time with a twist. */
export const unusualCase = (spread: Spread): fc.Arbitrary<Case> => {
  const twists = { ...TWISTS, ...(spread.ranges && OPEN_TWISTS) };
  const names = Object.keys(twists);
  return fc
    .tuple(likelyCase(spread), fc.constantFrom(...names.map(() => 'none'), ...names))
    .map(([kase, name]) => (twists[name] ?? ((same: Case) => same))(kase));
};
