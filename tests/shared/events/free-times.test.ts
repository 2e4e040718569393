import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  capacityMinutes,
  freeTimes,
  type Held,
  isFree,
  misfits,
  misfitting,
  type Stay,
  slotStarts,
} from '#shared/events/free-times.ts';
import { openingHoursSchema } from '#shared/events/hours.ts';

const EVENT: Held = {
  heldOn: '2026-05-16',
  timeZone: 'America/Los_Angeles',
  hours: { opensAt: '09:00', closesAt: '11:00', stepMinutes: 30, technicians: 1 },
};
const with_ = (hours: Partial<Held['hours']>): Held => ({ ...EVENT, hours: { ...EVENT.hours, ...hours } });
const at = (time: string): string => `2026-05-16T${time}:00.000Z`;

describe('the slots of an event', () => {
  it('stand between opening and closing, by the clocks of the place', () => {
    expect(slotStarts(EVENT)).toEqual(['16:00', '16:30', '17:00', '17:30'].map(at));
    expect(slotStarts(with_({ closesAt: '10:50' })).length).toBe(3);
    expect(capacityMinutes(with_({ technicians: 3 }))).toBe(360);
  });

  it('are as many as the day really has hours where clocks change', () => {
    const night = (heldOn: string): Held => ({ ...with_({ opensAt: '00:00', closesAt: '06:00' }), heldOn });
    expect(slotStarts(night('2026-03-08')).length).toBe(10);
    expect(slotStarts(night('2026-11-01')).length).toBe(14);
  });

  it('are free for as long as nobody else is there', () => {
    expect(freeTimes(EVENT, [{ start: at('17:00'), minutes: 20 }])).toEqual([
      { start: at('16:00'), minutes: 60 },
      { start: at('16:30'), minutes: 30 },
      { start: at('17:30'), minutes: 30 },
    ]);
  });

  it('take a stay that fits to the minute, and none that is longer, off the grid or out of hours', () => {
    const taken = [{ start: at('17:00'), minutes: 30 }];
    expect(isFree(EVENT, taken, { start: at('16:00'), minutes: 60 })).toBe(true);
    expect(isFree(EVENT, taken, { start: at('16:00'), minutes: 61 })).toBe(false);
    expect(isFree(EVENT, taken, { start: at('16:10'), minutes: 10 })).toBe(false);
    expect(isFree(EVENT, [], { start: at('17:30'), minutes: 31 })).toBe(false);
    expect(isFree(EVENT, [], { start: at('15:30'), minutes: 30 })).toBe(false);
    expect(isFree(EVENT, [], { start: at('16:00'), minutes: 0 })).toBe(false);
  });

  it('are judged anew for other hours: how many could not come as they booked', () => {
    const taken = ['16:00', '16:00', '17:30'].map((time) => ({ start: at(time), minutes: 30 }));
    expect(misfits(with_({ technicians: 2 }), taken)).toBe(0);
    expect(misfits(EVENT, taken)).toBe(1);
    expect(misfits(with_({ technicians: 2, closesAt: '10:30' }), taken)).toBe(1);
    expect(misfitting(with_({ closesAt: '10:30' }), taken)).toEqual({ outside: [taken[2]], tooMany: [taken[1]] });
  });
});

describe('bookings one after the other', () => {
  const minutes = fc.integer({ min: 1, max: 90 });
  const wishes = fc.array(fc.record({ slot: fc.nat(30), minutes }), { maxLength: 60 });
  const events = fc
    .record({
      stepMinutes: fc.constantFrom(5, 10, 15, 30, 60 as const),
      technicians: fc.integer({ min: 1, max: 4 }),
      hours: fc.integer({ min: 1, max: 6 }),
    })
    .map(({ hours, ...rest }) => with_({ ...rest, closesAt: `${String(9 + hours).padStart(2, '0')}:00` }));

  it('never ask more technicians than there are, at no minute, and each keeps one throughout', () => {
    fc.assert(
      fc.property(events, wishes, (event, wanted) => {
        const starts = slotStarts(event);
        const taken: Stay[] = [];
        for (const wish of wanted) {
          const stay = { start: starts[wish.slot % starts.length] ?? '', minutes: wish.minutes };
          if (isFree(event, taken, stay)) taken.push(stay);
        }
        // The reference: technicians as a list, each family to the first who is free (greedy interval partitioning).
        const until = Array.from({ length: event.hours.technicians }, () => 0);
        for (const { start, minutes: stays } of taken.toSorted((a, b) => (a.start < b.start ? -1 : 1))) {
          const from = Date.parse(start);
          const free = until.findIndex((end) => end <= from);
          expect(free).not.toBe(-1);
          until[free] = from + stays * 60_000;
        }
        expect(misfits(event, taken)).toBe(0);
        expect(misfitting(event, taken)).toEqual({ outside: [], tooMany: [] });
      }),
      { seed: 11 },
    );
  });

  it('that do not fit any more are told one by one: without them all fit, and with fewer told they would not', () => {
    fc.assert(
      fc.property(events, wishes, (event, wanted) => {
        const starts = slotStarts(with_({ opensAt: '08:00', closesAt: '18:00' }));
        const taken = wanted.map(({ slot, minutes: stays }) => ({
          start: starts[slot] ?? at('16:00'),
          minutes: stays,
        }));
        const { outside, tooMany } = misfitting(event, taken);
        const left = taken.filter((stay) => !outside.includes(stay) && !tooMany.includes(stay));
        expect(misfits(event, left)).toBe(0);
        for (const one of tooMany) expect(misfits(event, [...left, one])).toBeGreaterThan(0);
      }),
      { seed: 12 },
    );
  });
});

describe('opening hours', () => {
  const good = { opensAt: '09:00', closesAt: '13:00', stepMinutes: 15, technicians: 3 };
  it.each([
    ['before it opens', { ...good, closesAt: '08:00' }],
    ['within one slot', { ...good, closesAt: '09:14' }],
    ['at no time', { ...good, opensAt: '24:00' }],
    ['with nobody', { ...good, technicians: 0 }],
    ['with half a person', { ...good, technicians: 1.5 }],
    ['with steps of seven minutes', { ...good, stepMinutes: 7 }],
  ])('that make no sense are refused: %s', (_, hours) => {
    expect(openingHoursSchema.safeParse(good).success).toBe(true);
    expect(openingHoursSchema.safeParse(hours).success).toBe(false);
  });
});
