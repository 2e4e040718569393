import fc from 'fast-check';
import type { Case, Measure, RestraintMode, SeatKind } from '#shared/case.ts';
import type { LawFact } from '#shared/laws/facts.ts';
import lawTable from '#shared/laws/us.json' with { type: 'json' };
import { plausibleRange, type Quantity, type Sex } from '../oracle/growth.ts';
import { IN, LB } from '../oracle/point.ts';

/** Families as they come to a check: plausible children, real label figures, and numbers that sit on the limits. */
const LABEL_LB: Record<string, readonly number[]> = {
  'rear-facing': [30, 35, 40, 50],
  'forward-facing': [40, 50, 65],
  booster: [80, 100, 120],
};
const LABEL_IN: Record<string, readonly number[]> = {
  'rear-facing': [32, 40, 43, 49],
  'forward-facing': [40, 49, 57],
  booster: [57, 60, 63],
};
const CHILD_LB = [5, 20, 26.5, 30, 38, 40, 45, 50, 60, 65, 80];
const CHILD_IN = [32, 38, 40, 42, 43, 49, 50, 57, 63];
const AGES = [
  0, 6, 9, 10, 11, 12, 18, 22, 23, 24, 30, 35, 36, 40, 47, 48, 50, 59, 60, 66, 72, 84, 90, 95, 96, 100, 107,
];
const OLDER = [108, 120, 144, 155, 156, 160];
const NUDGES = [0, 0, 0.01, -0.01, 1, -1];

const maybe = <T>(of: fc.Arbitrary<T>, freq = 3) => fc.option(of, { nil: undefined, freq });
const flag = maybe(fc.boolean());
const some = <const T extends readonly string[]>(values: T): fc.Arbitrary<T[number] | undefined> =>
  maybe(fc.constantFrom<T[number]>(...values));

/** A size on or beside a figure of the rules, kept plausible for the age and both sexes. */
function size(quantity: Quantity, ages: readonly number[]): fc.Arbitrary<number> {
  const sexes: readonly Sex[] = ['female', 'male'];
  const ranges = sexes.flatMap((sex) => ages.map((age) => plausibleRange(quantity, sex, age)));
  const min = Math.max(...ranges.map((range) => range?.min ?? 0)) + 0.05;
  const max = Math.min(...ranges.map((range) => range?.max ?? 300)) - 0.05;
  const unit = quantity === 'weight' ? LB : IN;
  const figures = (quantity === 'weight' ? CHILD_LB : CHILD_IN).filter(
    (figure) => figure * unit >= min && figure * unit <= max,
  );
  const anywhere = fc.integer({ min: 0, max: 40 }).map((step) => min + ((max - min) * step) / 40);
  if (figures.length === 0 || min >= max) return anywhere;
  const onFigure = fc
    .tuple(fc.constantFrom(...figures), fc.constantFrom(...NUDGES))
    .map(([figure, nudge]) => Math.min(max, Math.max(min, (figure + nudge) * unit)));
  return fc.oneof(anywhere, { weight: 3, arbitrary: onFigure });
}

export interface Spread {
  /** How often a number is a range or absent: 0 never, larger is oftener. */
  readonly ranges: boolean;
}

const limit = (values: readonly number[], unit: number, { ranges }: Spread): fc.Arbitrary<Measure | undefined> => {
  const figure = fc.constantFrom(...values).map((value) => value * unit);
  const options: fc.WeightedArbitrary<Measure | undefined>[] = [
    { weight: 8, arbitrary: figure },
    { weight: 1, arbitrary: fc.constant(null) },
  ];
  if (ranges) {
    options.push({ weight: 1, arbitrary: fc.constant(undefined) });
    options.push({ weight: 1, arbitrary: figure.map((value) => ({ min: value - 2 * unit, max: value + unit })) });
  }
  return fc.oneof(...options);
};

const least = <T>(value: fc.Arbitrary<T>) => fc.oneof(value, fc.constant(null), fc.constant(undefined));

const labelOf = (mode: string, spread: Spread) =>
  fc.record({
    minWeightKg: least(fc.constantFrom(4, 5, 20, 26.5, 30, 40).map((pounds) => pounds * LB)),
    maxWeightKg: limit(LABEL_LB[mode] ?? [], LB, spread),
    minHeightCm: least(fc.constantFrom(19, 38, 40).map((inches) => inches * IN)),
    maxHeightCm: limit(LABEL_IN[mode] ?? [], IN, spread),
    minAgeMonths: least(fc.constantFrom(12, 24, 36, 48)),
  });

const MODES_OF: Record<SeatKind, readonly RestraintMode[]> = {
  'rear-facing-only': ['rear-facing'],
  convertible: ['rear-facing', 'forward-facing'],
  'all-in-one': ['rear-facing', 'forward-facing', 'booster'],
  'forward-facing-harness': ['forward-facing'],
  combination: ['forward-facing', 'booster'],
  booster: ['booster'],
  vest: ['forward-facing'],
  unknown: ['rear-facing', 'forward-facing', 'booster'],
};

const modeOf = (kind: SeatKind, n: number) => {
  const modes = MODES_OF[kind];
  return modes[n % modes.length];
};

const exactOr = (value: fc.Arbitrary<number>, width: number, { ranges }: Spread): fc.Arbitrary<Measure | undefined> => {
  const span = fc
    .tuple(value, fc.nat(4))
    .map(([x, steps]) => ({ min: Math.max(0, x - (width * steps) / 4), max: x + (width * (4 - steps)) / 4 }));
  return ranges
    ? fc.oneof({ weight: 3, arbitrary: value }, span, fc.constant(undefined))
    : fc.oneof({ weight: 3, arbitrary: value }, fc.constant(undefined));
};

const seatArb = (spread: Spread) =>
  fc.constantFrom(...(Object.keys(MODES_OF) as SeatKind[])).chain((kind) =>
    fc.record({
      id: fc.constant('s1'),
      kind: fc.constant(kind),
      modes: fc
        .tuple(...['rear-facing', 'forward-facing', 'booster'].map((mode) => labelOf(mode, spread)), fc.nat(7))
        .map(([rear, forward, booster, omit]) => {
          const labels = { 'rear-facing': rear, 'forward-facing': forward, booster };
          const kept = MODES_OF[kind].filter((_, i) => !(spread.ranges && omit === i));
          return Object.fromEntries(kept.map((mode) => [mode, labels[mode as keyof typeof labels]]));
        }) as unknown as fc.Arbitrary<Case['seats'][number]['modes']>,
      massKg: exactOr(
        fc.constantFrom(8, 10, 20, 25).map((pounds) => pounds * LB),
        2,
        spread,
      ),
      lowerAnchorLimitKg: maybe(
        fc.record({
          'rear-facing': exactOr(
            fc.constantFrom(30, 35, 40).map((pounds) => pounds * LB),
            2,
            spread,
          ),
          'forward-facing': exactOr(
            fc.constantFrom(40, 45).map((pounds) => pounds * LB),
            2,
            spread,
          ),
        }),
      ),
      bothAllowed: flag,
      borrowedAllowed: flag,
      manufactureDate: some(['2018', '2020-05', '2020-05-16', '2020-05-17', '2020-11', '2024-01']),
      expiryDate: some(['2025', '2026', '2026-04', '2026-05', '2026-05-15', '2026-05-16', '2026-11-16', '2026-11-17']),
      usefulLifeYears: maybe(
        spread.ranges ? fc.oneof(fc.constantFrom(6, 8), fc.constant({ min: 6, max: 8 })) : fc.constantFrom(6, 8),
      ),
      acquired: some(['new', 'known-second-hand', 'unknown-second-hand']),
      crash: maybe(
        fc.record({
          happened: flag,
          drivable: flag,
          nearestDoorUndamaged: maybe(fc.constant(true)),
          noInjuries: maybe(fc.constant(true)),
          noAirBags: maybe(fc.constant(true)),
          noVisibleSeatDamage: flag,
        }),
      ),
      labelReadable: flag,
      partsComplete: flag,
      certified: flag,
      recall: some(['none', 'open', 'remedied', 'unchecked']),
      registered: flag,
    }),
  );

const childArb = (spread: Spread) =>
  fc
    .record({
      age: fc.oneof({ weight: 4, arbitrary: fc.constantFrom(...AGES) }, fc.constantFrom(...OLDER)),
      wide: fc.constantFrom(0, 0, 1, 3),
      sex: fc.constantFrom<Sex>('female', 'male'),
      sexKnown: fc.constantFrom(true, true, !spread.ranges),
    })
    .chain(({ age, wide, sex, sexKnown }) => {
      const last = spread.ranges ? age + wide : age;
      return fc.record({
        id: fc.constant('c1'),
        ageMonths: fc.constant<Measure>(last === age ? age : { min: age, max: last }),
        sex: fc.constant(sexKnown ? sex : undefined),
        weightKg: spread.ranges ? exactOr(size('weight', [age, last]), 2, spread) : size('weight', [age]),
        heightCm: spread.ranges ? exactOr(size('height', [age, last]), 4, spread) : size('height', [age]),
        ridesUpright: flag,
        bornBeforeWeek37: fc.constantFrom(undefined, false, false, true),
        medicalNeeds: fc.constantFrom(undefined, false, false, false, true),
        lawFacts: fc.constantFrom<LawFact[] | undefined>(undefined, [], undefined, ['medical'], ['outgrown-harness']),
      });
    });

const positionArb = fc.record({
  row: maybe(fc.constantFrom(1, 2, 2), 6),
  belt: some(['lap-shoulder', 'lap-shoulder', 'lap-only', 'inflatable']),
  lowerAnchors: flag,
  tetherAnchor: flag,
  frontAirBag: some(['active', 'off', 'none']),
  facing: some(['forward', 'forward', 'side', 'rear']),
});

const RIDING = ['rear-facing', 'forward-facing', 'booster', 'seat-belt', 'none', 'lap-held', undefined] as const;

const useArb = (spread: Spread) =>
  fc.record({
    mode: fc.constantFrom(...RIDING),
    /** Most families use the seat in a mode that it has. */
    asTheSeatHas: fc.constantFrom(0, 1, 2, null),
    attachment: some(['lower-anchors', 'seat-belt', 'both', 'none']),
    beltPath: some(['rear-facing', 'forward-facing']),
    beltLocked: flag,
    twisted: flag,
    tether: some(['attached', 'not-attached']),
    movementCm: exactOr(fc.constantFrom(1, 2.54, 2.55), 2, spread),
    recline: some(['in-range', 'too-upright', 'too-reclined']),
    headClearanceCm: exactOr(fc.constantFrom(1, 2.53, 2.54, 6, 6, 6), 2, spread),
    harness: maybe(
      fc.record({
        straps: some(['below', 'at', 'above']),
        pinchable: flag,
        chestClip: some(['armpit', 'low', 'high']),
        bulkyClothing: flag,
        addOnProduct: flag,
        infantInsert: flag,
      }),
    ),
    beltFit: maybe(
      fc.record({
        lap: some(['thighs', 'belly']),
        shoulder: some(['chest', 'neck', 'off-shoulder', 'behind-back', 'under-arm']),
      }),
    ),
  });

const STATES = lawTable.jurisdictions.map(({ code }) => code);

/** One child, mostly with a seat; with `ranges` also numbers that are ranges or absent. */
export const likelyCase = (spread: Spread): fc.Arbitrary<Case> =>
  fc
    .record({
      child: childArb(spread),
      seat: seatArb(spread),
      withSeat: fc.constantFrom(true, true, true, true, false),
      use: useArb(spread),
      positions: fc.array(positionArb, { maxLength: 2 }),
      at: fc.nat(2),
      vehicleFigure: fc.oneof(
        fc.constant(undefined),
        exactOr(
          fc.constantFrom(48, 60, 65).map((lb) => lb * LB),
          2,
          spread,
        ),
      ),
      state: fc.constantFrom(undefined, ...STATES),
      needsInterpreter: flag,
    })
    .map(
      ({
        child,
        seat,
        withSeat,
        use: { asTheSeatHas, ...use },
        positions,
        at,
        vehicleFigure,
        state,
        needsInterpreter,
      }) => ({
        asOf: '2026-05-16',
        jurisdiction: state,
        needsInterpreter,
        children: [child],
        seats: [seat],
        vehicle: {
          lowerAnchorLimitKg: vehicleFigure,
          positions: positions.map((entry, i) => ({ id: `p${i}`, ...entry })),
        },
        uses: [
          {
            childId: 'c1',
            seatId: withSeat ? 's1' : undefined,
            positionId: at < positions.length ? `p${at}` : undefined,
            ...use,
            mode: asTheSeatHas === null ? use.mode : modeOf(seat.kind, asTheSeatHas),
          },
        ],
      }),
    );
