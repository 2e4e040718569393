import { z } from 'zod';

/** The most that is asked of an event: a day's length, and more technicians than any yard holds. */
export const MOST_TECHNICIANS = 50;
export const STEPS_MINUTES = [5, 10, 15, 20, 30, 45, 60] as const;

const time = z.string().regex(/^(?:[01]\d|2[0-3]):[0-5]\d$/);

/** When an event is open, by the clocks of its place, and how many families can be seen at once. */
export const openingHoursSchema = z
  .strictObject({
    opensAt: time,
    closesAt: time,
    /** Times on offer are so many minutes apart. */
    stepMinutes: z.literal([...STEPS_MINUTES]),
    technicians: z.int().min(1).max(MOST_TECHNICIANS),
  })
  .refine(({ opensAt, closesAt, stepMinutes }) => minutesOf(closesAt) - minutesOf(opensAt) >= stepMinutes, {
    path: ['closesAt'],
    error: 'the event closes before one slot is over',
  });

export type OpeningHours = z.infer<typeof openingHoursSchema>;

/** Minutes since midnight of HH:MM. */
export const minutesOf = (clock: string): number => Number(clock.slice(0, 2)) * 60 + Number(clock.slice(3, 5));
