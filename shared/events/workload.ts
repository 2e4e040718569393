import { type Held, openFromTo, type Stay } from './free-times.ts';
import { localAt } from './time-zone.ts';

const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;

/** One hour of an event, by the clocks of its place; the first and the last may be shorter. */
export interface WorkHour {
  /** Instant at which it begins (ISO 8601). */
  readonly start: string;
  /** Minutes that all technicians have together. */
  readonly technicianMinutes: number;
  /** Minutes that families need in it. */
  readonly neededMinutes: number;
}

export interface Workload {
  readonly hours: readonly WorkHour[];
  /** Minutes that families need outside the opening hours. */
  readonly outsideMinutes: number;
}

/** The instants, in milliseconds, at which the hours of an event begin, and its end. */
function edges(held: Held): readonly number[] {
  const [opens, closes] = openFromTo(held);
  const minute = Number(localAt(new Date(opens).toISOString(), held.timeZone).time.slice(3));
  const made = [opens];
  for (let at = opens + (60 - minute) * MINUTE_MS; at < closes; at += HOUR_MS) made.push(at);
  return [...made, closes];
}

/** What families need, hour by hour, beside what the technicians have. A stay counts in each hour by its minutes there. */
export function workload(held: Held, stays: readonly Stay[]): Workload {
  const at = edges(held);
  const hours = at.slice(0, -1).map((from, i): WorkHour => {
    const to = at[i + 1] ?? from;
    const within = ({ start, minutes }: Stay) => {
      const begins = Date.parse(start);
      return Math.max(0, Math.min(to, begins + minutes * MINUTE_MS) - Math.max(from, begins));
    };
    return {
      start: new Date(from).toISOString(),
      technicianMinutes: ((to - from) / MINUTE_MS) * held.hours.technicians,
      neededMinutes: stays.reduce((sum, stay) => sum + within(stay), 0) / MINUTE_MS,
    };
  });
  const all = stays.reduce((sum, { minutes }) => sum + minutes, 0);
  return { hours, outsideMinutes: all - hours.reduce((sum, { neededMinutes }) => sum + neededMinutes, 0) };
}
