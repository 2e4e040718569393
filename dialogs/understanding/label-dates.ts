import { isCalendarDate } from '#shared/dates.ts';
import type { Print } from './label-lines.ts';

/** A date as printed: YYYY, YYYY-MM or YYYY-MM-DD. `doubtful`: day and month could be the other way round. */
export interface PrintedDate {
  readonly start: number;
  readonly end: number;
  readonly value: string;
  readonly doubtful: boolean;
}

/** Months in English, Spanish and French, in full and as they are shortened, folded. */
const MONTHS: readonly RegExp[] = [
  /^(?:jan(?:uary|v|vier)?|ene(?:ro)?)$/,
  /^(?:feb(?:ruary|rero)?|fev(?:r|rier)?)$/,
  /^(?:mar(?:ch|s|zo)?)$/,
  /^(?:apr(?:il)?|abr(?:il)?|avr(?:il)?)$/,
  /^(?:may(?:o)?|mai)$/,
  /^(?:june?|junio|juin)$/,
  /^(?:jul(?:y|io)?|juil(?:let)?)$/,
  /^(?:aug(?:ust)?|ago(?:sto)?|aout?)$/,
  /^(?:sept?(?:ember|iembre|embre)?)$/,
  /^(?:oct(?:ober|ubre|obre)?)$/,
  /^(?:nov(?:ember|iembre|embre)?)$/,
  /^(?:dec(?:ember|embre)?|dic(?:iembre)?)$/,
];

const two = (n: number | string): string => String(n).padStart(2, '0');
const monthOf = (word: string): number => MONTHS.findIndex((month) => month.test(word)) + 1;

const YEAR = String.raw`((?:19|20)\d{2})`;
const MARK = String.raw`\s*[-/.]\s*`;
const WORD = String.raw`([a-z]{3,10})\.?`;
const EDGE = String.raw`(?<![\d/.-])`;
const STOP = String.raw`(?![\d]|[/-]\d)`;

interface Form {
  readonly pattern: RegExp;
  readonly read: (groups: readonly string[], dayFirst: boolean) => { value: string; doubtful?: boolean } | null;
}

const dated = (year: string, month: number | string, day?: string) => ({
  value: [year, two(month), ...(day ? [two(day)] : [])].join('-'),
});

const FORMS: readonly Form[] = [
  {
    pattern: new RegExp(`${EDGE}${YEAR}${MARK}(\\d{1,2})${MARK}(\\d{1,2})${STOP}`, 'g'),
    read: ([y = '', m = '', d = '']) => dated(y, m, d),
  },
  {
    pattern: new RegExp(`${EDGE}(\\d{1,2})${MARK}(\\d{1,2})${MARK}${YEAR}${STOP}`, 'g'),
    read: ([a = '', b = '', y = ''], dayFirst) => {
      const [first, second] = [Number(a), Number(b)];
      const asDay = first > 12 || (dayFirst && second <= 12);
      const both = first <= 12 && second <= 12 && first !== second;
      return { ...(asDay ? dated(y, b, a) : dated(y, a, b)), doubtful: both };
    },
  },
  {
    pattern: new RegExp(
      `\\b(\\d{1,2})(?:st|nd|rd|th|er|º)?\\s*[-/.]?\\s*(?:de\\s+)?${WORD}\\s*[-/.,]?\\s*(?:del?\\s+)?${YEAR}\\b`,
      'g',
    ),
    read: ([d = '', word = '', y = '']) => (monthOf(word) ? dated(y, monthOf(word), d) : null),
  },
  {
    pattern: new RegExp(`\\b${WORD}\\s+(\\d{1,2})(?:st|nd|rd|th)?\\s*,?\\s+${YEAR}\\b`, 'g'),
    read: ([word = '', d = '', y = '']) => (monthOf(word) ? dated(y, monthOf(word), d) : null),
  },
  {
    pattern: new RegExp(`\\b${WORD}\\s*[-/.,]?\\s*(?:del?\\s+)?${YEAR}\\b`, 'g'),
    read: ([word = '', y = '']) => (monthOf(word) ? dated(y, monthOf(word)) : null),
  },
  {
    pattern: new RegExp(`\\b${YEAR}\\s*[-/.,]?\\s*${WORD}(?:\\s*[-/.,]?\\s*(\\d{1,2}))?(?![\\da-z])`, 'g'),
    read: ([y = '', word = '', d]) => (monthOf(word) ? dated(y, monthOf(word), d) : null),
  },
  {
    pattern: new RegExp(`${EDGE}${YEAR}(?:${MARK}|\\s+)(\\d{1,2})${STOP}`, 'g'),
    read: ([y = '', m = '']) => dated(y, m),
  },
  {
    pattern: new RegExp(`${EDGE}(\\d{1,2})(?:${MARK}|\\s+)${YEAR}${STOP}`, 'g'),
    read: ([m = '', y = '']) => dated(y, m),
  },
  { pattern: new RegExp(`${EDGE}${YEAR}${STOP}`, 'g'), read: ([y = '']) => ({ value: y }) },
];

/** Every date that is printed, in order; a longer form takes its place before a shorter one. */
export function datesIn({ text }: Print, dayFirst: boolean): readonly PrintedDate[] {
  const found: PrintedDate[] = [];
  for (const { pattern, read } of FORMS)
    for (const match of text.matchAll(pattern)) {
      const [start, end] = [match.index, match.index + match[0].length];
      if (match[0].includes('\n\n') || found.some((other) => start < other.end && end > other.start)) continue;
      const date = read(match.slice(1), dayFirst);
      if (date && isCalendarDate(date.value))
        found.push({ start, end, value: date.value, doubtful: date.doubtful === true });
    }
  return found.sort((a, b) => a.start - b.start);
}
