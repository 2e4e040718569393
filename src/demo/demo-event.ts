import type { NewEvent } from '#src/store/events.ts';

/** In the address of the caregiver's page and on the command line. */
export const DEMO_EVENT = 'demo';

const IN_DAYS = 3;
const DAY_MS = 24 * 60 * 60_000;

/** An invented event with slots, some days from now so that there are times to choose. */
export const demoEvent = (now: Date) =>
  ({
    id: DEMO_EVENT,
    name: 'Demo seat check (invented)',
    place: 'Fire station yard, Marrow Creek (invented)',
    timeZone: 'America/Los_Angeles',
    heldOn: new Date(now.getTime() + IN_DAYS * DAY_MS).toISOString().slice(0, 10),
    languages: ['en', 'es'],
    hours: { opensAt: '09:00', closesAt: '13:00', stepMinutes: 15, technicians: 2 },
  }) satisfies NewEvent;
