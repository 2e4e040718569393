import fc from 'fast-check';
import { MODES_IN_USE, SEAT_KINDS } from '#shared/case.ts';
import { LAW_FACTS } from '#shared/laws/facts.ts';

/** Anything the case schema accepts, however unlikely: to show that no valid case can break the rules core. */
const maybe = <T>(of: fc.Arbitrary<T>) => fc.option(of, { nil: undefined, freq: 3 });
const orNull = <T>(of: fc.Arbitrary<T>) => fc.option(of, { nil: null, freq: 3 });
const oneOf = <const T extends readonly string[]>(values: T) => maybe(orNull(fc.constantFrom(...values)));
const flag = maybe(orNull(fc.boolean()));

const amount = (max: number) =>
  fc.oneof(
    fc.double({ min: 0, max, noNaN: true }),
    fc.integer({ min: 0, max: Math.floor(max) }),
    fc.constantFrom(0, max),
  );
const measure = (max: number, likely = max) => {
  const value = fc.oneof({ weight: 3, arbitrary: amount(likely) }, { weight: 1, arbitrary: amount(max) });
  const range = fc.tuple(value, value).map(([a, b]) => ({ min: Math.min(a, b), max: Math.max(a, b) }));
  return maybe(orNull(fc.oneof(value, range)));
};

const year = fc.integer({ min: 1900, max: 2100 });
const month = fc.integer({ min: 1, max: 12 });
const two = (value: number) => String(value).padStart(2, '0');
const date = fc
  .tuple(fc.oneof(fc.integer({ min: 2005, max: 2035 }), year), month, fc.integer({ min: 1, max: 31 }), fc.nat(2))
  .map(([y, m, d, precision]) => {
    const last = new Date(Date.UTC(y, m, 0)).getUTCDate();
    return [`${y}`, `${y}-${two(m)}`, `${y}-${two(m)}-${two(Math.min(d, last))}`][precision] as string;
  });
const fullDate = fc
  .tuple(fc.integer({ min: 2005, max: 2035 }), month, fc.integer({ min: 1, max: 28 }))
  .map(([y, m, d]) => `${y}-${two(m)}-${two(d)}`);

const limits = fc.record({
  minWeightKg: measure(500, 20),
  maxWeightKg: measure(500, 50),
  minHeightCm: measure(300, 110),
  maxHeightCm: measure(300, 160),
  minAgeMonths: measure(1200, 60),
});

const child = fc.record({
  ageMonths: measure(1200, 200),
  sex: oneOf(['female', 'male']),
  weightKg: measure(500, 60),
  heightCm: measure(300, 170),
  sizeConfirmed: flag,
  ridesUpright: flag,
  bornBeforeWeek37: flag,
  medicalNeeds: flag,
  lawFacts: maybe(orNull(fc.subarray([...LAW_FACTS]))),
});

const seat = fc.record({
  kind: oneOf(SEAT_KINDS),
  modes: maybe(
    orNull(
      fc.record({
        'rear-facing': maybe(orNull(limits)),
        'forward-facing': maybe(orNull(limits)),
        booster: maybe(orNull(limits)),
      }),
    ),
  ),
  massKg: measure(500, 15),
  lowerAnchorLimitKg: maybe(orNull(fc.record({ 'rear-facing': measure(500, 30), 'forward-facing': measure(500, 30) }))),
  bothAllowed: flag,
  borrowedAllowed: flag,
  manufactureDate: maybe(orNull(date)),
  expiryDate: maybe(orNull(date)),
  usefulLifeYears: measure(100, 12),
  acquired: oneOf(['new', 'known-second-hand', 'unknown-second-hand']),
  crash: maybe(
    orNull(
      fc.record({
        happened: flag,
        drivable: flag,
        nearestDoorUndamaged: flag,
        noInjuries: flag,
        noAirBags: flag,
        noVisibleSeatDamage: flag,
      }),
    ),
  ),
  labelReadable: flag,
  partsComplete: flag,
  certified: flag,
  recall: oneOf(['none', 'open', 'remedied', 'unchecked']),
  registered: flag,
});

const position = fc.record({
  row: maybe(orNull(fc.integer({ min: 1, max: 3 }))),
  side: oneOf(['left', 'center', 'right']),
  belt: oneOf(['lap-shoulder', 'lap-only', 'inflatable']),
  lowerAnchors: flag,
  tetherAnchor: flag,
  frontAirBag: oneOf(['active', 'off', 'none']),
  facing: oneOf(['forward', 'side', 'rear']),
});

const use = fc.record({
  mode: oneOf(MODES_IN_USE),
  attachment: oneOf(['lower-anchors', 'seat-belt', 'both', 'none']),
  beltPath: oneOf(['rear-facing', 'forward-facing']),
  beltLocked: flag,
  twisted: flag,
  tether: oneOf(['attached', 'not-attached']),
  movementCm: measure(300, 8),
  recline: oneOf(['in-range', 'too-upright', 'too-reclined']),
  headClearanceCm: measure(300, 8),
  harness: maybe(
    orNull(
      fc.record({
        straps: oneOf(['below', 'at', 'above']),
        pinchable: flag,
        chestClip: oneOf(['armpit', 'low', 'high']),
        bulkyClothing: flag,
        addOnProduct: flag,
        infantInsert: flag,
      }),
    ),
  ),
  beltFit: maybe(
    orNull(
      fc.record({
        lap: oneOf(['thighs', 'belly']),
        shoulder: oneOf(['chest', 'neck', 'off-shoulder', 'behind-back', 'under-arm']),
      }),
    ),
  ),
});

const jurisdiction = fc.constantFrom(undefined, null, 'US-CA', 'US-LA', 'US-DE', 'US-NC', 'US-CT', 'GB', 'ZZ-1', '');

/** A case of up to three children, seats and positions, tied together in any way. */
export const anyCase: fc.Arbitrary<unknown> = fc
  .record({
    asOf: fullDate,
    jurisdiction,
    needsInterpreter: flag,
    children: fc.array(child, { maxLength: 3 }),
    birthDates: fc.array(maybe(orNull(date)), { minLength: 3, maxLength: 3 }),
    seats: fc.array(seat, { maxLength: 3 }),
    vehicle: maybe(
      orNull(
        fc.record({
          modelYear: maybe(orNull(fc.integer({ min: 1900, max: 2100 }))),
          lowerAnchorLimitKg: measure(500, 40),
          positions: maybe(orNull(fc.array(position, { maxLength: 3 }))),
        }),
      ),
    ),
    uses: fc.array(use, { maxLength: 3 }),
    tie: fc.array(fc.nat(9), { minLength: 6, maxLength: 6 }),
  })
  .map(({ asOf, children, birthDates, seats, vehicle, uses, tie, ...rest }) => {
    const positions = vehicle?.positions?.map((entry, i) => ({ id: `p${i}`, ...entry }));
    const pick = (from: readonly unknown[] | undefined, prefix: string, n = 0) =>
      from && n < from.length ? `${prefix}${n}` : undefined;
    return {
      ...rest,
      asOf,
      children: children.map((entry, i) => {
        const birthDate = birthDates[i];
        const past = birthDate != null && birthDate.slice(0, 4) < asOf.slice(0, 4);
        return { id: `c${i}`, ...entry, birthDate: past ? birthDate : undefined };
      }),
      seats: seats.map((entry, i) => ({ id: `s${i}`, ...entry })),
      vehicle: vehicle && { ...vehicle, positions },
      uses: uses.slice(0, children.length).map((entry, i) => ({
        childId: `c${i}`,
        seatId: pick(seats, 's', tie[i]),
        positionId: pick(positions, 'p', tie[i + 3]),
        ...entry,
      })),
    };
  });
