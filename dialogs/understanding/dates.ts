import {
  asText,
  type DateFound,
  type DateSettings,
  exists,
  fullYear,
  isDay,
  isMark,
  isMonth,
  type ReadDate,
  thisYear,
  yearAt,
} from './date-parts.ts';
import { allDigits } from './digit-dates.ts';
import { closest } from './fuzzy.ts';
import { digitYearAt, numberAt } from './numbers.ts';
import { hitAt, type Message } from './words.ts';

const pastLinkers = (message: Message, at: number, marks: string): number => {
  let end = at;
  for (let steps = 0; steps < 3; steps++) {
    const linker = hitAt(message, 'date-linker', end);
    if (linker) end = linker.end;
    else if (isMark(message, end, marks)) end += 1;
    else break;
  }
  return end;
};

const pastOrdinal = (message: Message, at: number): number => hitAt(message, 'ordinal', at)?.end ?? at;

const dayAt = (message: Message, at: number): { day: number; end: number } | null => {
  const before = hitAt(message, 'date-before', at, 'day');
  const number = numberAt(message, before?.end ?? at);
  if (!number || !Number.isInteger(number.value) || !isDay(number.value) || number.decimals) return null;
  const ordinal = pastOrdinal(message, number.end);
  return { day: number.value, end: hitAt(message, 'date-after', ordinal, 'day')?.end ?? ordinal };
};

/** The day said right before or behind a month: "el 14 de febrero", "March 3rd". */
export const dayBeside = (
  message: Message,
  { start, end }: { readonly start: number; readonly end: number },
): { day: number; start: number; end: number } | null => {
  for (let at = Math.max(0, start - 3); at < start; at++) {
    const day = dayAt(message, at);
    if (day && pastLinkers(message, day.end, '-/') === start) return { ...day, start: at };
  }
  const from = pastLinkers(message, end, '-/');
  const day = dayAt(message, from);
  return day && { ...day, start: from };
};

const relativeYear = (message: Message, settings: DateSettings, at: number): { year: number; end: number } | null => {
  const hit = hitAt(message, 'relative-year', at);
  return hit ? { year: thisYear(settings) + Number(hit.name), end: hit.end } : null;
};

/** "двадцатого года": the last two digits of a year, said as a number before its word. */
const shortYearSaid = (message: Message, settings: DateSettings, at: number) => {
  // "二三年四月"
  const spelt = digitYearAt(message, at, 2);
  if (spelt && hitAt(message, 'date-after', spelt.end, 'year')) {
    const short = fullYear(settings, String(spelt.year).padStart(2, '0'));
    return short === null ? null : { year: short, end: spelt.end, two: false };
  }
  const said = numberAt(message, at);
  if (!said || said.digits || said.value > 99 || !Number.isInteger(said.value)) return null;
  const year =
    hitAt(message, 'date-after', said.end, 'year') && fullYear(settings, String(said.value).padStart(2, '0'));
  return year ? { year, end: said.end, two: false } : null;
};

const yearSaid = (message: Message, settings: DateSettings, at: number, alsoTwo: boolean) => {
  const relative = relativeYear(message, settings, at);
  if (relative) return { ...relative, two: false };
  const before = hitAt(message, 'date-before', at, 'year');
  const from = before?.end ?? at;
  const year = yearAt(message, settings, from, alsoTwo || before !== null) ?? shortYearSaid(message, settings, from);
  if (!year) return null;
  const ordinal = pastOrdinal(message, year.end);
  const after = hitAt(message, 'date-after', ordinal, 'year');
  // "June 14th" is a day, "в апреле 24-го" a year.
  const daysFollow = message.vocabulary.lexicon.dates.monthFirst !== 'never';
  return {
    year: year.year,
    end: after?.end ?? ordinal,
    two: year.two && !before && !after && (ordinal === year.end || daysFollow),
  };
};

/** A month by name, or by number between its marks ("tháng 9", "8月", "شهر 5"). */
export const monthAt = (message: Message, at: number): { month: number; end: number; named: boolean } | null => {
  const before = hitAt(message, 'date-before', at, 'month');
  const named = hitAt(message, 'month', before?.end ?? at) ?? hitAt(message, 'month', at);
  if (named) return { month: Number(named.name), end: named.end, named: true };
  const word = message.tokens[at];
  const guessed = word?.kind === 'word' ? closest(message.vocabulary, word.text, 'month', 5) : null;
  if (guessed) return { month: Number(guessed), end: at + 1, named: true };
  const number = numberAt(message, before?.end ?? at);
  if (!number || !isMonth(number.value) || number.decimals || !Number.isInteger(number.value)) return null;
  const after = hitAt(message, 'date-after', number.end, 'month');
  return before || after ? { month: number.value, end: after?.end ?? number.end, named: false } : null;
};

const ABBREVIATION = 4;

/** Past "de", "of", a comma after a month; a full stop is passed only after an abbreviation ("sept. 2022"). */
const pastMonth = (message: Message, at: number): number => {
  const short = (message.tokens[at - 1]?.text.length ?? 0) <= ABBREVIATION;
  return pastLinkers(message, at, short ? ',.-/' : ',-/');
};

/** "2022年10月26日", "2021 May". */
const yearLeads = (message: Message, settings: DateSettings, at: number): DateFound | null => {
  const year = yearSaid(message, settings, at, true);
  if (!year || year.two) return null;
  const month = monthAt(message, pastLinkers(message, year.end, ',-/'));
  if (!month) return null;
  // "2017, octobre 2019": the month has a year of its own.
  const own = yearSaid(message, settings, pastLinkers(message, month.end, ''), false);
  if (own && !own.two) return null;
  const parts = { year: year.year, month: month.month };
  const day = dayAt(message, pastLinkers(message, month.end, '-/'));
  const marked = day !== null && hitAt(message, 'date-after', day.end - 1, 'day') !== null;
  if (day && (marked || !hitAt(message, 'unit', day.end))) return { parts: { ...parts, day: day.day }, end: day.end };
  return { parts, end: month.end };
};

/** "3 de marzo del 2023", "ngày 21 tháng 1 năm 2025". */
const dayLeads = (message: Message, settings: DateSettings, at: number): DateFound | null => {
  const day = dayAt(message, at);
  const month = day ? monthAt(message, pastLinkers(message, day.end, '-/')) : null;
  if (!day || !month) return null;
  const year = yearSaid(message, settings, pastMonth(message, month.end), true);
  return year ? { parts: { year: year.year, month: month.month, day: day.day }, end: year.end } : null;
};

/** "May 3rd 2024", "mayo 2021". */
const monthLeads = (message: Message, settings: DateSettings, at: number): DateFound | null => {
  const month = monthAt(message, at);
  if (!month) return null;
  const from = pastMonth(message, month.end);
  const day = hitAt(message, 'date-before', from, 'year') ? null : dayAt(message, from);
  const dayYear = day ? yearSaid(message, settings, pastLinkers(message, day.end, ',-/'), true) : null;
  if (day && dayYear && (!dayYear.two || month.named))
    return { parts: { year: dayYear.year, month: month.month, day: day.day }, end: dayYear.end };
  const daysFollow = message.vocabulary.lexicon.dates.monthFirst !== 'never';
  const year = yearSaid(message, settings, from, true);
  if (!year || (year.two && !month.named)) return null;
  return {
    parts: {
      year: year.year,
      month: month.month,
      doubtful: year.two && from === month.end && (daysFollow || settings.asked !== 'date'),
    },
    end: year.end,
  };
};

const namedMonth = (message: Message, settings: DateSettings, at: number): DateFound | null =>
  yearLeads(message, settings, at) ?? dayLeads(message, settings, at) ?? monthLeads(message, settings, at);

const relativeDate = (message: Message, settings: DateSettings, at: number): DateFound | null => {
  const [year = 0, month = 1, day = 1] = settings.today.split('-').map(Number);
  const days = hitAt(message, 'relative-day', at);
  if (days) {
    const date = new Date(Date.UTC(year, month - 1, day + Number(days.name)));
    return {
      parts: { year: date.getUTCFullYear(), month: date.getUTCMonth() + 1, day: date.getUTCDate() },
      end: days.end,
    };
  }
  const months = hitAt(message, 'relative-month', at);
  if (months) {
    const date = new Date(Date.UTC(year, month - 1 + Number(months.name), 1));
    return { parts: { year: date.getUTCFullYear(), month: date.getUTCMonth() + 1 }, end: months.end };
  }
  return null;
};

export interface FoundDate extends ReadDate {
  /** "last month", "yesterday": a date only where something was born or made then. */
  readonly relative: boolean;
  /** A birthday, whatever stands beside it. */
  readonly born?: boolean;
}

/** Every date of the message, in order. */
export const findDates = (message: Message, settings: DateSettings): FoundDate[] => {
  const found: FoundDate[] = [];
  let at = 0;
  while (at < message.tokens.length) {
    const exact = allDigits(message, settings, at) ?? namedMonth(message, settings, at);
    const date = exact ?? relativeDate(message, settings, at);
    if (date && exists(date.parts)) {
      const doubtful = date.parts.doubtful === true;
      found.push({ start: at, end: date.end, value: asText(date.parts), doubtful, relative: exact === null });
      at = date.end;
    } else at += 1;
  }
  return found;
};
