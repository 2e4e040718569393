import fc from 'fast-check';
import type { Case, Position } from '#shared/case.ts';
import type { Rider } from './families.ts';
import { aFamily, CHILDREN, place, SEATS } from './families.ts';

const names = <T extends object>(of: T) => fc.constantFrom(...(Object.keys(of) as (keyof T)[]));
const maybe = <T>(value: fc.Arbitrary<T>) => fc.option(value, { nil: undefined, freq: 2 });
const IDS = ['p1R', 'p2L', 'p2C', 'p2R', 'p3L', 'p3R'] as const;

const child = fc
  .record({
    who: names(CHILDREN),
    older: fc.integer({ min: 0, max: 30 }),
    medicalNeeds: fc.oneof({ weight: 4, arbitrary: fc.constant(false) }, { weight: 1, arbitrary: fc.constant(true) }),
  })
  .map(({ who, older, medicalNeeds }) => {
    const { ageMonths, weightKg, heightCm, sex } = CHILDREN[who];
    const grown = { ageMonths: ageMonths + older, weightKg: weightKg + older / 6, heightCm: heightCm + older / 2 };
    return { ...grown, sex, medicalNeeds, sizeConfirmed: true };
  });

const UNREAD = { kind: 'convertible' } as const;
const seat = fc
  .record({
    what: fc.option(names(SEATS), { nil: null, freq: 6 }),
    unread: fc.nat(5),
    widthCm: fc.constantFrom(38, 44, 50, null),
  })
  .map(({ what, unread, widthCm }) => (what === null ? null : { ...(unread === 0 ? UNREAD : SEATS[what]), widthCm }));

const position = (id: (typeof IDS)[number]): fc.Arbitrary<Position> =>
  fc
    .record({
      belt: fc.constantFrom('lap-shoulder', 'lap-shoulder', 'lap-only', 'inflatable', null),
      lowerAnchors: fc.constantFrom(true, false, null),
      tetherAnchor: fc.constantFrom(true, true, false, null),
      facing: fc.constantFrom('forward', 'forward', 'forward', 'side', null),
      widthCm: fc.constantFrom(44, 48, 60, null),
      frontAirBag: id === 'p1R' ? fc.constantFrom('active', 'off', null) : fc.constant('none' as const),
    })
    .map((facts) => place(id, facts));

/** Families of exact children in a vehicle, of any kind that the rules tell apart; `children` at most. */
export const arbitraryFamily = (children: number, least = 1): fc.Arbitrary<Case> =>
  fc
    .record({
      riders: fc.array(
        fc.record({
          child,
          seat,
          at: maybe(fc.nat(IDS.length - 1)),
          mode: maybe(fc.constantFrom('rear-facing' as const, 'forward-facing' as const, 'booster' as const)),
        }),
        { minLength: least, maxLength: children },
      ),
      positions: fc.subarray([...IDS], { minLength: 1, maxLength: 5 }).chain((ids) => fc.tuple(...ids.map(position))),
      spare: maybe(names(SEATS)),
    })
    .map(({ riders, positions, spare }) => {
      const placed = riders.map(({ at, mode, ...rest }): Rider => {
        const id = at === undefined ? undefined : positions[at]?.id;
        return { ...rest, ...(id && { at: id }), ...(mode && { mode }) };
      });
      return aFamily(placed, positions, spare ? [{ id: 'spare', ...SEATS[spare] }] : []);
    });
