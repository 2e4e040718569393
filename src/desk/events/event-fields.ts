import { randomInt } from 'node:crypto';
import { isFullDate } from '#shared/dates.ts';
import { MOST_TECHNICIANS, minutesOf, openingHoursSchema } from '#shared/events/hours.ts';
import { isTimeZone, localAt } from '#shared/events/time-zone.ts';
import type { CheckEvent, NewEvent } from '#src/store/events.ts';

export const MAX_NAME = 120;
export const MAX_PLACE = 200;

/** What the form of an event holds, as it was typed. */
export interface EventFields {
  readonly name: string;
  readonly place: string;
  readonly heldOn: string;
  readonly timeZone: string;
  /** `yes`: families choose a time. */
  readonly timed: string;
  readonly opensAt: string;
  readonly closesAt: string;
  readonly stepMinutes: string;
  readonly technicians: string;
  readonly languages: readonly string[];
}

export type FieldName = Exclude<keyof EventFields, 'languages'>;
/** A key of `eventProblem` in the desk's words, for each field that cannot be used. */
export type FieldProblems = Partial<Readonly<Record<FieldName, string>>>;

export const FIELD_NAMES = [
  'name',
  'place',
  'heldOn',
  'timeZone',
  'timed',
  'opensAt',
  'closesAt',
  'stepMinutes',
  'technicians',
] as const satisfies readonly FieldName[];

/** Control and format characters, among them the marks that turn the direction of text; but not the joiners that scripts need. */
const HIDDEN = /(?![\u200c\u200d])[\p{Cc}\p{Cf}\u2028\u2029]/gu;

/** One line of text as a store, a calendar and a poster may hold it. */
export const oneLine = (text: string): string => text.toWellFormed().replace(HIDDEN, ' ').replace(/\s+/gu, ' ').trim();

/** Reads the form; `known` are the languages that it offers. */
export function readEventFields(fields: URLSearchParams, known: readonly string[]): EventFields {
  const text = (name: string) => oneLine(fields.get(name) ?? '');
  const [name, place, heldOn, timeZone] = [text('name'), text('place'), text('heldOn'), text('timeZone')];
  const [timed, opensAt, closesAt] = [text('timed'), text('opensAt'), text('closesAt')];
  const [stepMinutes, technicians] = [text('stepMinutes'), text('technicians')];
  const chosen = fields.getAll('language');
  const languages = known.filter((tag) => chosen.includes(tag));
  return { name, place, heldOn, timeZone, timed, opensAt, closesAt, stepMinutes, technicians, languages };
}

export const fieldsOf = ({ name, place, heldOn, timeZone, hours, languages }: CheckEvent): EventFields => ({
  name,
  place,
  heldOn,
  timeZone,
  timed: hours ? 'yes' : 'no',
  opensAt: hours?.opensAt ?? '',
  closesAt: hours?.closesAt ?? '',
  stepMinutes: String(hours?.stepMinutes ?? 15),
  technicians: String(hours?.technicians ?? ''),
  languages,
});

export const emptyFields = (timeZone: string): EventFields => ({
  name: '',
  place: '',
  heldOn: '',
  timeZone,
  timed: 'yes',
  opensAt: '09:00',
  closesAt: '13:00',
  stepMinutes: '15',
  technicians: '2',
  languages: ['en'],
});

/** The name of a time zone as the database of zones writes it, however it was typed; null where there is none. */
function zoneOf(text: string): string | null {
  const name = text.replaceAll(' ', '_');
  if (!isTimeZone(name)) return null;
  return new Intl.DateTimeFormat('en', { timeZone: name }).resolvedOptions().timeZone;
}

const wholeNumber = (text: string): number => (/^\d{1,4}$/.test(text) ? Number(text) : Number.NaN);

function hoursProblems({ opensAt, closesAt, stepMinutes, technicians }: EventFields): FieldProblems {
  const isTime = (text: string) => /^(?:[01]\d|2[0-3]):[0-5]\d$/.test(text);
  const open = isTime(opensAt) && isTime(closesAt) ? minutesOf(closesAt) - minutesOf(opensAt) : null;
  const families = wholeNumber(technicians);
  return {
    ...(!isTime(opensAt) && { opensAt: 'time' }),
    ...(!isTime(closesAt) && { closesAt: 'time' }),
    ...(open !== null && open < wholeNumber(stepMinutes) && { closesAt: 'closes' }),
    ...(!(families >= 1 && families <= MOST_TECHNICIANS) && { technicians: 'technicians' }),
  };
}

type Read =
  | { readonly ok: true; readonly event: Omit<NewEvent, 'id'> }
  | { readonly ok: false; readonly problems: FieldProblems };

/** What was typed as an event, or what cannot be used of it. `heldOn`: the day it has so far, which may be over. */
export function eventOf(fields: EventFields, now: Date, heldOn: string | null = null): Read {
  const { name, place, timed, opensAt, closesAt } = fields;
  const timeZone = zoneOf(fields.timeZone);
  const isDay = isFullDate(fields.heldOn);
  const today = localAt(now.toISOString(), timeZone ?? 'UTC').date;
  const problems: FieldProblems = {
    ...((name === '' || [...name].length > MAX_NAME) && { name: 'name' }),
    ...((place === '' || [...place].length > MAX_PLACE) && { place: 'place' }),
    ...(!isDay && { heldOn: 'day' }),
    ...(isDay && fields.heldOn !== heldOn && fields.heldOn < today && { heldOn: 'over' }),
    ...(timeZone === null && { timeZone: 'timeZone' }),
    ...(timed === 'yes' ? hoursProblems(fields) : timed !== 'no' && { timed: 'timed' }),
  };
  const hours = openingHoursSchema.safeParse({
    opensAt,
    closesAt,
    stepMinutes: wholeNumber(fields.stepMinutes),
    technicians: wholeNumber(fields.technicians),
  });
  if (timed === 'yes' && !hours.success && Object.keys(problems).length === 0)
    return { ok: false, problems: { stepMinutes: 'step' } };
  if (timeZone === null || Object.keys(problems).length > 0) return { ok: false, problems };
  return {
    ok: true,
    event: {
      name,
      place,
      heldOn: fields.heldOn,
      timeZone,
      languages: fields.languages,
      hours: timed === 'yes' ? (hours.data ?? null) : null,
    },
  };
}

/** No letters and digits that look alike when they are read out. */
const SIGNS = 'abcdefghjkmnpqrstuvwxyz23456789';

/** An id for the address on the poster: words of the name that any keyboard has, and four signs that make it another one. */
export function newEventId(name: string): string {
  const words = name
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '')
    .slice(0, 24)
    .replace(/-+$/, '');
  const signs = Array.from({ length: 4 }, () => SIGNS[randomInt(SIGNS.length)]).join('');
  return `${words || 'event'}-${signs}`;
}
