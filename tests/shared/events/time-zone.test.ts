import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { instantAt, isTimeZone, localAt, offsetMs } from '#shared/events/time-zone.ts';

/**
 * Changes of clocks as the law of the place sets them: Energy Policy Act of 2005, section 110 (United States: second Sunday
 * of March and first of November at 2:00), Directive 2000/84/EC (last Sundays of March and October at 1:00 UTC); from memory.
 */
const CHANGES = [
  ['the day before clocks go forward', '2026-03-07', '10:00', 'America/Los_Angeles', '2026-03-07T18:00:00.000Z'],
  ['the day clocks go forward', '2026-03-08', '10:00', 'America/Los_Angeles', '2026-03-08T17:00:00.000Z'],
  ['a time left out counts by the old clocks', '2026-03-08', '02:30', 'America/New_York', '2026-03-08T07:30:00.000Z'],
  ['a time that comes twice is the first', '2026-11-01', '01:30', 'America/New_York', '2026-11-01T05:30:00.000Z'],
  ['after clocks went back', '2026-11-01', '09:00', 'America/New_York', '2026-11-01T14:00:00.000Z'],
  ['Europe has its own days', '2026-03-08', '10:00', 'Europe/Madrid', '2026-03-08T09:00:00.000Z'],
  ['Europe in summer', '2026-03-29', '10:00', 'Europe/Madrid', '2026-03-29T08:00:00.000Z'],
  ['no change in Arizona', '2026-07-01', '10:00', 'America/Phoenix', '2026-07-01T17:00:00.000Z'],
  ['half an hour off', '2026-07-01', '10:00', 'Asia/Kolkata', '2026-07-01T04:30:00.000Z'],
] as const;

describe('a time by the clocks of a place', () => {
  it.each(CHANGES)('%s', (_, date, time, zone, instant) => {
    expect(instantAt({ date, time }, zone)).toBe(instant);
  });

  it('is read back from its instant, wherever clocks show it', () => {
    const zone = fc.constantFrom('America/Los_Angeles', 'America/St_Johns', 'Europe/Lisbon', 'Asia/Kathmandu', 'UTC');
    fc.assert(
      fc.property(zone, fc.integer({ min: 0, max: 40 * 365 * 24 * 12 }), (timeZone, steps) => {
        const instant = new Date(Date.UTC(2000, 0, 1) + steps * 300_000).toISOString();
        const local = localAt(instant, timeZone);
        const again = instantAt(local, timeZone);
        expect(localAt(again, timeZone)).toEqual(local);
        // Only where a time comes twice it is another instant, and then the earlier.
        expect(again <= instant).toBe(true);
      }),
      { seed: 7 },
    );
  });

  it('knows offsets of whole minutes', () => {
    expect(offsetMs(Date.parse('2026-05-16T12:00:00.500Z'), 'America/Los_Angeles')).toBe(-7 * 3_600_000);
  });

  it.each(['America/Los_Angeles', 'UTC', 'Etc/GMT+8', 'America/Argentina/Buenos_Aires'])('takes %s', (name) => {
    expect(isTimeZone(name)).toBe(true);
  });

  it.each(['', 'Mars/Olympus', '+08:00', 'America/Los Angeles', '<b>', 'America/Los_Angeles\u0000'])(
    'refuses %j',
    (name) => {
      expect(isTimeZone(name)).toBe(false);
    },
  );
});
