import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { capacityMinutes, type Held } from '#shared/events/free-times.ts';
import { workload } from '#shared/events/workload.ts';

const EVENT: Held = {
  heldOn: '2026-05-20',
  timeZone: 'America/Los_Angeles',
  hours: { opensAt: '09:30', closesAt: '12:00', stepMinutes: 15, technicians: 2 },
};
const at = (time: string): string => `2026-05-20T${time}:00.000Z`;

describe('the workload by hour', () => {
  it('parts a stay among the hours that it touches, by the clocks of the place', () => {
    const stays = [
      { start: at('16:45'), minutes: 30 },
      { start: at('17:00'), minutes: 150 },
      { start: at('18:45'), minutes: 30 },
    ];
    expect(workload(EVENT, stays)).toEqual({
      hours: [
        { start: at('16:30'), technicianMinutes: 60, neededMinutes: 15 },
        { start: at('17:00'), technicianMinutes: 120, neededMinutes: 75 },
        { start: at('18:00'), technicianMinutes: 120, neededMinutes: 75 },
      ],
      outsideMinutes: 45,
    });
  });

  it('begins its hours with the clocks of a place that is off by half an hour', () => {
    // India Standard Time is UTC+05:30 all year (IANA time zone database).
    const { hours } = workload({ ...EVENT, timeZone: 'Asia/Kolkata' }, []);
    expect(hours.map(({ start }) => start)).toEqual([at('04:00'), at('04:30'), at('05:30')]);
  });

  it('is as long as the day really is where clocks change within the opening hours', () => {
    // New York, 1 November 2026: 01:00 comes twice (US Energy Policy Act of 2005), so three hours pass from 00:30 to 02:30.
    const hours = { ...EVENT.hours, opensAt: '00:30', closesAt: '02:30' };
    const night = workload({ heldOn: '2026-11-01', timeZone: 'America/New_York', hours }, []);
    expect(night.hours.map(({ technicianMinutes }) => technicianMinutes)).toEqual([60, 120, 120, 60]);
  });

  it('loses no minute of any family, and has all of the technicians', () => {
    const stay = fc.record({
      start: fc
        .integer({ min: 0, max: 24 * 60 })
        .map((minute) => new Date(Date.parse(at('10:00')) + minute * 60_000).toISOString()),
      minutes: fc.integer({ min: 1, max: 240 }),
    });
    fc.assert(
      fc.property(fc.array(stay, { maxLength: 30 }), (stays) => {
        const { hours, outsideMinutes } = workload(EVENT, stays);
        const needed = hours.reduce((sum, hour) => sum + hour.neededMinutes, 0);
        expect(needed + outsideMinutes).toBe(stays.reduce((sum, { minutes }) => sum + minutes, 0));
        expect(outsideMinutes).toBeGreaterThanOrEqual(0);
        expect(hours.reduce((sum, hour) => sum + hour.technicianMinutes, 0)).toBe(capacityMinutes(EVENT));
      }),
      { seed: 13 },
    );
  });
});
