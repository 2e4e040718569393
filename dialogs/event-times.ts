import type { Stay } from '#shared/events/free-times.ts';
import { localAt } from '#shared/events/time-zone.ts';

/** What a conversation may know of its event's times, read just before the step. */
export interface EventTimes {
  readonly place: string;
  /** Calendar date at the place. */
  readonly heldOn: string;
  /** IANA name */
  readonly timeZone: string;
  /** Times still to come, in order, with the longest stay from each; the family's own time counts as free. */
  readonly free: readonly Stay[];
  /** What the family has. */
  readonly booked: Stay | null;
  /** Its private link to a calendar file; null where there is none. */
  readonly link: string | null;
}

/** So many times stand in one turn. */
const PAGE = 6;

/** A time as the id of a choice: the instant to the minute, UTC. */
export const timeId = (start: string): string => start.replace(/:00\.000Z$/, 'Z');

export const isTimeId = (id: string): boolean => /^\d{4}-\d\d-\d\dT\d\d:\d\dZ$/i.test(id);

/** The starts that leave as many minutes as a visit needs. */
export const longEnough = ({ free }: EventTimes, minutes: number): readonly string[] =>
  free.filter((stay) => stay.minutes >= minutes).map(({ start }) => start);

/** The starts to show next, and whether more follow; from the first again where none is left behind `after`. */
export function timesOnOffer(
  times: EventTimes,
  minutes: number,
  after: string | undefined,
): { readonly starts: readonly string[]; readonly more: boolean } {
  const all = longEnough(times, minutes);
  const left = after === undefined ? all : all.filter((start) => start > after);
  const from = left.length > 0 ? left : all;
  return { starts: from.slice(0, PAGE), more: from.length > PAGE };
}

interface Said {
  readonly hour: number;
  readonly minute: number;
}

/** "10:30", "10.30", "10h30", "10 h", "10点30", "10시": hours with their minutes, by any of the signs that part them. */
const CLOCK = /(?<![\d.,:])(\d{1,2})\s?(?:[:.h](\d{2})(?!\d)|[h時时點点시](?:\s?(\d{1,2})\s?[分분]?)?)/giu;
const ALONE = /^\D*?(?<![\d.,:])(\d{1,2})(?![\d.,:])\D*$/u;

/** The times of day that a text names; a figure alone is one only where there is no other and `alone` says so. */
function saidTimes(text: string, alone: boolean): readonly Said[] {
  const said = [...text.matchAll(CLOCK)].map(([, hour, minute, after]) => ({
    hour: Number(hour),
    minute: Number(minute ?? after ?? 0),
  }));
  const single = said.length === 0 && alone ? ALONE.exec(text)?.[1] : undefined;
  return single === undefined ? said : [{ hour: Number(single), minute: 0 }];
}

export interface TimeSaid {
  /** The starts that the words can mean. */
  readonly starts: readonly string[];
  /** The words name a time of day at all. */
  readonly named: boolean;
}

/**
 * Which of the starts a text means by the clocks of the place. `half`: the half of the day that the words name; without one,
 * a time before noon may also be that after it.
 */
export function timesNamed(
  text: string,
  starts: readonly string[],
  timeZone: string,
  half: 'am' | 'pm' | null,
  alone: boolean,
): TimeSaid {
  const said = saidTimes(text, alone || half !== null).filter(({ hour, minute }) => hour < 25 && minute < 60);
  const clock = (hour: number, minute: number) =>
    `${String(hour % 24).padStart(2, '0')}:${String(minute).padStart(2, '0')}`;
  const meant = said.flatMap(({ hour, minute }) => {
    if (hour > 12) return [clock(hour, minute)];
    if (half !== null) return [clock((hour % 12) + (half === 'pm' ? 12 : 0), minute)];
    return [clock(hour, minute), clock(hour + 12, minute)];
  });
  return {
    starts: starts.filter((start) => meant.includes(localAt(start, timeZone).time)),
    named: said.length > 0,
  };
}
