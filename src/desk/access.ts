import type { Access } from '#src/store/people.ts';

type Role = Pick<Access, 'role'>;

/** Whether somebody may manage people, events and exports with names. */
export const mayCoordinate = ({ role }: Role): boolean => role === 'coordinator';

/** Whether somebody may change anything: write to families, record visits. */
export const mayWork = ({ role }: Role): boolean => role !== 'read-only';

/** Whether somebody sees the families of an event; null: families of no event, which only those see who see all. */
export const seesEvent = ({ eventIds }: Pick<Access, 'eventIds'>, eventId: string | null): boolean =>
  eventIds === null || (eventId !== null && eventIds.includes(eventId));
