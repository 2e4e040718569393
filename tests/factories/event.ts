import type { NewEvent } from '#src/store/events.ts';

/** An event with times; a test overrides only what it is about. */
export const anEvent = (over: Partial<NewEvent> = {}): NewEvent => ({
  id: 'spring',
  name: 'Spring',
  place: 'Yard',
  timeZone: 'America/Los_Angeles',
  heldOn: '2026-05-20',
  languages: ['en'],
  hours: { opensAt: '09:00', closesAt: '11:00', stepMinutes: 30, technicians: 2 },
  ...over,
});
