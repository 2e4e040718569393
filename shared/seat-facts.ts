import type { Seat } from './case.ts';
import type { CalendarDate } from './dates.ts';
import type { Interval } from './interval.ts';
import { toInterval } from './interval.ts';

type Crash = NonNullable<Seat['crash']>;

/** What is known about a seat apart from any child, flat, null where unknown. Mutable as ChildFacts is. */
export interface SeatFacts {
  readonly asOf: CalendarDate;
  readonly seatId: string;
  manufactureDate: CalendarDate | null;
  expiryDate: CalendarDate | null;
  usefulLifeYears: Interval | null;
  acquired: Seat['acquired'] | null;
  crashHappened: boolean | null;
  drivable: boolean | null;
  nearestDoorUndamaged: boolean | null;
  noInjuries: boolean | null;
  noAirBags: boolean | null;
  noVisibleSeatDamage: boolean | null;
  labelReadable: boolean | null;
  partsComplete: boolean | null;
  certified: boolean | null;
  recall: Seat['recall'] | null;
  registered: boolean | null;
}

export type SeatFactKey = Exclude<keyof SeatFacts, 'asOf' | 'seatId'>;

/** The five conditions of a minor crash (S-131). */
export const MINOR_CRASH = [
  'drivable',
  'nearestDoorUndamaged',
  'noInjuries',
  'noAirBags',
  'noVisibleSeatDamage',
] as const satisfies readonly (SeatFactKey & keyof Crash)[];

const flag = [true, false];

/** Each fact's path below its seat, and its values; dates and years are completed at critical values. */
export const SEAT_FACT_SPECS: Readonly<
  Record<SeatFactKey, { name: string; values: readonly (string | boolean)[] | 'date' | 'number' }>
> = {
  manufactureDate: { name: 'manufactureDate', values: 'date' },
  expiryDate: { name: 'expiryDate', values: 'date' },
  usefulLifeYears: { name: 'usefulLifeYears', values: 'number' },
  acquired: { name: 'acquired', values: ['new', 'known-second-hand', 'unknown-second-hand'] },
  crashHappened: { name: 'crash.happened', values: flag },
  drivable: { name: 'crash.drivable', values: flag },
  nearestDoorUndamaged: { name: 'crash.nearestDoorUndamaged', values: flag },
  noInjuries: { name: 'crash.noInjuries', values: flag },
  noAirBags: { name: 'crash.noAirBags', values: flag },
  noVisibleSeatDamage: { name: 'crash.noVisibleSeatDamage', values: flag },
  labelReadable: { name: 'labelReadable', values: flag },
  partsComplete: { name: 'partsComplete', values: flag },
  certified: { name: 'certified', values: flag },
  recall: { name: 'recall', values: ['none', 'open', 'remedied', 'unchecked'] },
  registered: { name: 'registered', values: flag },
};

export const SEAT_FACT_KEYS = Object.keys(SEAT_FACT_SPECS) as readonly SeatFactKey[];

/** The facts about one seat of a case. */
export const seatFacts = (seat: Seat, asOf: CalendarDate): SeatFacts => ({
  asOf,
  seatId: seat.id,
  manufactureDate: seat.manufactureDate ?? null,
  expiryDate: seat.expiryDate ?? null,
  usefulLifeYears: toInterval(seat.usefulLifeYears),
  acquired: seat.acquired ?? null,
  crashHappened: seat.crash?.happened ?? null,
  drivable: seat.crash?.drivable ?? null,
  nearestDoorUndamaged: seat.crash?.nearestDoorUndamaged ?? null,
  noInjuries: seat.crash?.noInjuries ?? null,
  noAirBags: seat.crash?.noAirBags ?? null,
  noVisibleSeatDamage: seat.crash?.noVisibleSeatDamage ?? null,
  labelReadable: seat.labelReadable ?? null,
  partsComplete: seat.partsComplete ?? null,
  certified: seat.certified ?? null,
  recall: seat.recall ?? null,
  registered: seat.registered ?? null,
});
