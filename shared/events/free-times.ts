import type { OpeningHours } from './hours.ts';
import { instantAt } from './time-zone.ts';

const MINUTE_MS = 60_000;

/** When and where an event with slots is held. */
export interface Held {
  /** YYYY-MM-DD at the place */
  readonly heldOn: string;
  readonly timeZone: string;
  readonly hours: OpeningHours;
}

/** Minutes of a technician's time from an instant (ISO 8601) on. */
export interface Stay {
  readonly start: string;
  readonly minutes: number;
}

const endOf = ({ start, minutes }: Stay): number => Date.parse(start) + minutes * MINUTE_MS;

/** Opening and closing as instants in milliseconds; on a day when clocks change the event is as long as it really is. */
export function openFromTo({ heldOn, timeZone, hours }: Held): readonly [number, number] {
  const at = (time: string) => Date.parse(instantAt({ date: heldOn, time }, timeZone));
  return [at(hours.opensAt), at(hours.closesAt)];
}

/** The starts of all slots, free or not, in order. */
export function slotStarts(held: Held): readonly string[] {
  const [opens, closes] = openFromTo(held);
  const step = held.hours.stepMinutes * MINUTE_MS;
  const count = Math.max(0, Math.floor((closes - opens) / step));
  return Array.from({ length: count }, (_, i) => new Date(opens + i * step).toISOString());
}

/** How many technicians are busy in each slot. A stay takes each slot that it touches. */
function busy(held: Held, starts: readonly string[], taken: readonly Stay[]): readonly number[] {
  const step = held.hours.stepMinutes * MINUTE_MS;
  return starts.map((start) => {
    const from = Date.parse(start);
    return taken.filter((stay) => Date.parse(stay.start) < from + step && endOf(stay) > from).length;
  });
}

/**
 * Each time at which a family could still come, with the longest stay possible from there on. Where in no slot more
 * families stay than there are technicians, each can keep one technician throughout (interval graphs are perfect: as many
 * colours do as meet at one point).
 */
export function freeTimes(held: Held, taken: readonly Stay[]): readonly Stay[] {
  const starts = slotStarts(held);
  const { stepMinutes, technicians } = held.hours;
  const open = busy(held, starts, taken).map((count) => count < technicians);
  const lengths = open.map(() => 0);
  for (let i = open.length - 1; i >= 0; i--) lengths[i] = open[i] ? 1 + (lengths[i + 1] ?? 0) : 0;
  return starts.flatMap((start, i) => {
    const minutes = (lengths[i] ?? 0) * stepMinutes;
    return minutes > 0 ? [{ start, minutes }] : [];
  });
}

/** Whether a stay can be added to those that are taken. */
export const isFree = (held: Held, taken: readonly Stay[], wanted: Stay): boolean =>
  wanted.minutes > 0 &&
  freeTimes(held, taken).some(({ start, minutes }) => start === wanted.start && minutes >= wanted.minutes);

/** How many stays lie outside the hours, or are one too many at once. Zero: everybody can be seen. */
export function misfits(held: Held, taken: readonly Stay[]): number {
  const [opens, closes] = openFromTo(held);
  const outside = taken.filter((stay) => Date.parse(stay.start) < opens || endOf(stay) > closes).length;
  const tooMany = busy(held, slotStarts(held), taken).map((count) => Math.max(0, count - held.hours.technicians));
  return outside + Math.max(0, ...tooMany);
}

/**
 * Which stays lie outside the hours, and which are one too many at once where those that begin first are seated first (of
 * two that begin together, the one that is listed first).
 */
export function misfitting<S extends Stay>(
  held: Held,
  taken: readonly S[],
): { readonly outside: readonly S[]; readonly tooMany: readonly S[] } {
  const [opens, closes] = openFromTo(held);
  const isOutside = (stay: S) => Date.parse(stay.start) < opens || endOf(stay) > closes;
  const inside = taken.filter((stay) => !isOutside(stay)).toSorted((a, b) => Date.parse(a.start) - Date.parse(b.start));
  const step = held.hours.stepMinutes * MINUTE_MS;
  const seated = slotStarts(held).map(() => 0);
  const tooMany = inside.filter((stay) => {
    const [first, last] = [
      Math.floor((Date.parse(stay.start) - opens) / step),
      Math.ceil((endOf(stay) - opens) / step),
    ];
    const full = seated.slice(first, last).some((count) => count >= held.hours.technicians);
    if (!full) for (let i = first; i < Math.min(last, seated.length); i++) seated[i] = (seated[i] ?? 0) + 1;
    return full;
  });
  return { outside: taken.filter(isOutside), tooMany };
}

/** Minutes of technicians' time that an event has in all its slots. */
export const capacityMinutes = (held: Held): number =>
  slotStarts(held).length * held.hours.stepMinutes * held.hours.technicians;
