const NAME = /^[A-Za-z][\w+-]*(?:\/[\w+-]+)*$/;
const DAY_MS = 24 * 60 * 60 * 1000;

/** Whether a name is one of the IANA time zone database that this runtime knows. */
export function isTimeZone(name: string): boolean {
  if (!NAME.test(name)) return false;
  try {
    return new Intl.DateTimeFormat('en', { timeZone: name }).resolvedOptions().timeZone !== '';
  } catch {
    return false;
  }
}

const FORMATS = new Map<string, Intl.DateTimeFormat>();

function formatOf(timeZone: string): Intl.DateTimeFormat {
  const known = FORMATS.get(timeZone);
  if (known) return known;
  const made = new Intl.DateTimeFormat('en-CA', {
    timeZone,
    hourCycle: 'h23',
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
    second: '2-digit',
  });
  FORMATS.set(timeZone, made);
  return made;
}

/** What a clock at the place shows, as if it were UTC, in milliseconds. */
function wallMs(instantMs: number, timeZone: string): number {
  const parts = formatOf(timeZone).formatToParts(new Date(instantMs));
  const of = (type: string) => Number(parts.find((part) => part.type === type)?.value);
  return Date.UTC(of('year'), of('month') - 1, of('day'), of('hour'), of('minute'), of('second'));
}

/** How far the clocks of a place are ahead of UTC at an instant, milliseconds. */
export const offsetMs = (instantMs: number, timeZone: string): number =>
  wallMs(instantMs, timeZone) - Math.floor(instantMs / 1000) * 1000;

export interface LocalTime {
  /** YYYY-MM-DD */
  readonly date: string;
  /** HH:MM of 24 hours */
  readonly time: string;
}

/** The day and the time that the clocks of a place show at an instant (ISO 8601). */
export function localAt(instant: string, timeZone: string): LocalTime {
  const shown = new Date(wallMs(Date.parse(instant), timeZone)).toISOString();
  return { date: shown.slice(0, 10), time: shown.slice(11, 16) };
}

/**
 * The instant (ISO 8601) at which the clocks of a place show a day and time. A time that comes twice is the first, one that
 * is left out counts as if the clocks had not been changed yet (RFC 5545, 3.3.5).
 */
export function instantAt({ date, time }: LocalTime, timeZone: string): string {
  const wall = Date.parse(`${date}T${time}:00.000Z`);
  const [before, after] = [wall - DAY_MS, wall + DAY_MS].map((at) => wall - offsetMs(at, timeZone)) as [number, number];
  const shown = [before, after].filter((at) => wallMs(at, timeZone) === wall);
  return new Date(shown.length > 0 ? Math.min(...shown) : before).toISOString();
}
