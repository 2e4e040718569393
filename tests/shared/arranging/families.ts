import type { Case, Child, Position, Seat } from '#shared/case.ts';

/** Invented children, seats and vehicles for plans; every limit is known unless a test takes it away. */
const NONE = { minWeightKg: null, minHeightCm: null, minAgeMonths: null };
const REAR = { ...NONE, maxWeightKg: 18, maxHeightCm: 112 };
const HARNESS = { ...NONE, minWeightKg: 12.1, maxWeightKg: 29.4, maxHeightCm: 124 };
const BOOSTER = { ...NONE, minWeightKg: 18.2, maxWeightKg: 45, maxHeightCm: 150 };

export const SEATS = {
  infant: { kind: 'rear-facing-only', massKg: 5, modes: { 'rear-facing': REAR } },
  convertible: { kind: 'convertible', massKg: 9, modes: { 'rear-facing': REAR, 'forward-facing': HARNESS } },
  harness: { kind: 'forward-facing-harness', massKg: 8, modes: { 'forward-facing': HARNESS } },
  combination: { kind: 'combination', massKg: 8, modes: { 'forward-facing': HARNESS, booster: BOOSTER } },
  booster: { kind: 'booster', massKg: 3, modes: { booster: BOOSTER } },
} as const satisfies Record<string, Omit<Seat, 'id'>>;

export const CHILDREN = {
  baby: { ageMonths: 8, sex: 'female', weightKg: 8, heightCm: 69 },
  three: { ageMonths: 40, sex: 'male', weightKg: 15, heightCm: 97 },
  /** Past the rear-facing limits of the seats here, and too light for a booster. */
  four: { ageMonths: 56, sex: 'female', weightKg: 18.1, heightCm: 113 },
  seven: { ageMonths: 86, sex: 'male', weightKg: 24, heightCm: 126 },
  eleven: { ageMonths: 138, sex: 'female', weightKg: 40, heightCm: 149 },
  fourteen: { ageMonths: 170, sex: 'male', weightKg: 52, heightCm: 163 },
} as const satisfies Record<string, Omit<Child, 'id'>>;

const SIDES = { L: 'left', C: 'center', R: 'right' } as const;

/** A place such as `p2C` with all there and known, but for what is said otherwise. */
export const place = (id: string, but: Partial<Position> = {}): Position => ({
  id,
  row: Number(id[1]),
  side: SIDES[id[2] as keyof typeof SIDES],
  belt: 'lap-shoulder',
  lowerAnchors: id[2] !== 'C' && id[1] !== '1',
  tetherAnchor: id[1] !== '1',
  frontAirBag: id[1] === '1' ? 'active' : 'none',
  facing: 'forward',
  ...but,
});

export interface Rider {
  readonly child: keyof typeof CHILDREN | Omit<Child, 'id'>;
  /** Null: no seat at all. */
  readonly seat: keyof typeof SEATS | Omit<Seat, 'id'> | null;
  readonly at?: string;
  readonly mode?: NonNullable<Case['uses'][number]['mode']>;
}

/** A family of riders c1, c2 … with seats s1, s2 … in a vehicle. */
export const aFamily = (
  riders: readonly Rider[],
  positions: readonly Position[],
  spare: readonly Seat[] = [],
): Case => ({
  asOf: '2026-05-16',
  children: riders.map(({ child }, i) => ({
    id: `c${i + 1}`,
    ...(typeof child === 'string' ? CHILDREN[child] : child),
  })),
  seats: [
    ...riders.flatMap(({ seat }, i) =>
      seat === null ? [] : [{ id: `s${i + 1}`, ...(typeof seat === 'string' ? SEATS[seat] : seat) }],
    ),
    ...spare,
  ],
  vehicle: { positions: [...positions] },
  uses: riders.map(({ seat, at, mode }, i) => ({
    childId: `c${i + 1}`,
    ...(seat !== null && { seatId: `s${i + 1}` }),
    ...(at && { positionId: at }),
    ...(mode && { mode }),
  })),
});

export const REAR_BENCH = [place('p2L'), place('p2C'), place('p2R')];
