import {
  type DateFound,
  type DateSettings,
  digitsAt,
  fullYear,
  isDay,
  isMark,
  isMonth,
  type Parts,
  thisYear,
} from './date-parts.ts';
import { hitAt, type Message } from './words.ts';

/** Day and month where the digits alone do not say which is which (understanding.md, Values). */
const byConvention = (
  message: Message,
  settings: DateSettings,
  first: number,
  second: number,
  year: number,
): Parts | null => {
  if (!isDay(first) || !isDay(second)) return null;
  if (first > 12) return isMonth(second) ? { year, month: second, day: first } : null;
  if (second > 12) return { year, month: first, day: second };
  if (first === second) return { year, month: first, day: first };
  const { monthFirst } = message.vocabulary.lexicon.dates;
  const american = monthFirst === 'always' || (monthFirst === 'with-us-units' && settings.units !== 'metric');
  if (american) return { year, month: first, day: second };
  return { year, month: second, day: first, doubtful: settings.units !== 'metric' };
};

const SEPARATORS = '/-.';

/** A date in digits: "3/14/23", "2021-05", "20200612". */
export const allDigits = (message: Message, settings: DateSettings, at: number): DateFound | null => {
  const token = message.tokens[at];
  if (token?.kind !== 'number') return null;
  const { text, whole, decimals } = token;
  if (decimals) {
    if (isMark(message, at - 1, SEPARATORS) && message.tokens[at - 2]?.kind === 'number') return null;
    const first = Number(whole);
    const second = Number(decimals);
    if (token.separator !== '.') return null;
    if (whole.length <= 2 && decimals.length === 4 && isMonth(first)) {
      const year = fullYear(settings, decimals);
      return year === null ? null : { parts: { year, month: first }, end: at + 1 };
    }
    const year = whole.length === 4 && decimals.length <= 2 ? fullYear(settings, whole) : null;
    return year !== null && isMonth(second) ? { parts: { year, month: second }, end: at + 1 } : null;
  }
  if (text.length === 8) {
    const year = fullYear(settings, text.slice(0, 4));
    if (year === null) return null;
    return { parts: { year, month: Number(text.slice(4, 6)), day: Number(text.slice(6)) }, end: at + 1 };
  }
  if (text.length === 6 && settings.asked === 'date') {
    const year = fullYear(settings, text.slice(0, 4));
    return year === null ? null : { parts: { year, month: Number(text.slice(4)) }, end: at + 1 };
  }
  return separated(message, settings, at);
};

const relativeYearAt = (message: Message, settings: DateSettings, at: number): { year: number; end: number } | null => {
  const from = hitAt(message, 'date-linker', at)?.end ?? at;
  const hit = hitAt(message, 'relative-year', from) ?? hitAt(message, 'relative-year', at);
  return hit ? { year: thisYear(settings) + Number(hit.name), end: hit.end } : null;
};

const endsSentence = ({ tokens }: Message, at: number): boolean =>
  tokens[at]?.text === '.' && tokens[at + 1]?.spaced === true;

const separated = (message: Message, settings: DateSettings, at: number): DateFound | null => {
  const first = message.tokens[at];
  if (first === undefined) return null;
  const slash = isMark(message, at + 1, SEPARATORS);
  // A full stop ends a sentence: "2015. 1 m". Only where dates are written so may a space follow: "2022. 7. 19".
  const stops = slash && endsSentence(message, at + 1);
  if (stops && !(message.vocabulary.lexicon.dates.yearFirst && isMark(message, at + 3, '.'))) return null;
  const second = message.tokens[slash ? at + 2 : at + 1];
  const two = digitsAt(message, slash ? at + 2 : at + 1);
  const yearFirst = first.text.length === 4 ? fullYear(settings, first.text) : null;
  if (yearFirst !== null && isMonth(two) && (slash || (settings.asked === 'date' && second?.text.length === 2))) {
    const after = at + (slash ? 3 : 2);
    const goesOn = isMark(message, after, SEPARATORS) && !endsSentence(message, after);
    const again = slash ? goesOn || stops : settings.asked === 'date';
    const day = again ? digitsAt(message, slash ? after + 1 : after) : null;
    if (isDay(day)) return { parts: { year: yearFirst, month: two, day }, end: slash ? after + 2 : after + 1 };
    return { parts: { year: yearFirst, month: two }, end: after };
  }
  if (yearFirst !== null || first.text.length > 2) return null;
  const one = Number(first.text);
  if (!slash) {
    // "05 21 2021", "05 2021" on a label.
    if (settings.asked !== 'date' && settings.asked !== 'age') return null;
    const third = message.tokens[at + 2];
    if (two !== null && third?.kind === 'number' && third.text.length === 4) {
      const year = fullYear(settings, third.text);
      const parts = year === null ? null : byConvention(message, settings, one, two, year);
      return parts ? { parts, end: at + 3 } : null;
    }
    const year = second?.kind === 'number' && second.text.length === 4 ? fullYear(settings, second.text) : null;
    return year !== null && isMonth(one) ? { parts: { year, month: one }, end: at + 2 } : null;
  }
  if (second?.kind !== 'number') return null;
  if (second.decimals) return null;
  if (second.text.length === 4) {
    const year = fullYear(settings, second.text);
    return year !== null && isMonth(one) ? { parts: { year, month: one }, end: at + 3 } : null;
  }
  const again = isMark(message, at + 3, SEPARATORS);
  const third = message.tokens[at + 4];
  if (two !== null && again && third?.kind === 'number' && third.decimals === '') {
    const year = third.text.length === 4 || third.text.length === 2 ? fullYear(settings, third.text) : null;
    if (third.text.length === 2 && message.vocabulary.lexicon.dates.yearFirst) {
      const leading = fullYear(settings, first.text);
      const day = Number(third.text);
      if (leading !== null && isMonth(two) && isDay(day)) {
        const other = year !== null && year <= thisYear(settings) && isDay(one);
        return { parts: { year: leading, month: two, day, doubtful: other && one <= 31 && day > 9 }, end: at + 5 };
      }
    }
    if (year === null) return null;
    const parts = byConvention(message, settings, one, two, year);
    return parts ? { parts, end: at + 5 } : null;
  }
  // "14/2 năm ngoái"
  const relative = two === null || again ? null : relativeYearAt(message, settings, at + 3);
  if (relative && two !== null) {
    const parts = byConvention(message, settings, one, two, relative.year);
    return parts ? { parts, end: relative.end } : null;
  }
  if (settings.asked === 'date' && isMonth(one) && two !== null && two > 12 && !again) {
    const year = fullYear(settings, second.text);
    return year === null ? null : { parts: { year, month: one, doubtful: true }, end: at + 3 };
  }
  return null;
};
