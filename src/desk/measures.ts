import type { Measure } from '#shared/case.ts';
import { firstDay } from '#shared/dates.ts';
import { cmToIn, kgToLb } from '#shared/units.ts';

/** The system that is said first; both always are. */
export type Units = 'us' | 'metric';

type Range = { readonly min: number; readonly max: number };

/** Numbers, dates and names of languages in the words of one language. Values are rounded here and nowhere else. */
export interface Measures {
  /** Kilograms and pounds of a weight in kilograms, to a tenth. */
  weight(kg: number | Range): string;
  /** Centimetres and inches of a length in centimetres, to a tenth. */
  length(cm: number | Range): string;
  /** Completed months, as years and months from two years on. */
  age(months: number | Range): string;
  years(years: number | Range): string;
  /** A calendar date of any precision: YYYY, YYYY-MM or YYYY-MM-DD. */
  date(date: string): string;
  /** An instant, with its time zone. */
  instant(iso: string, timeZone: string): string;
  /** The time of day that clocks of a place show at an instant. */
  time(iso: string, timeZone: string): string;
  number(value: number): string;
  /** A share from 0 to 1. */
  percent(share: number): string;
  languageName(tag: string): string;
  list(items: readonly string[]): string;
}

const ends = (value: number | Range): Range => (typeof value === 'number' ? { min: value, max: value } : value);

/** Units in the order of the place: pounds and inches first in the United States and where the place is unknown. */
export const unitsFor = (jurisdiction: string | null | undefined): Units =>
  !jurisdiction || jurisdiction.startsWith('US') ? 'us' : 'metric';

export function createMeasures(language: string, units: Units): Measures {
  const unit = (name: string, unitDisplay: 'short' | 'long' = 'short', digits = 1) => {
    const format = new Intl.NumberFormat(language, {
      style: 'unit',
      unit: name,
      unitDisplay,
      maximumFractionDigits: digits,
    });
    return (range: Range) =>
      range.min === range.max ? format.format(range.min) : format.formatRange(range.min, range.max);
  };
  const [kg, lb, cm, inch] = [unit('kilogram'), unit('pound'), unit('centimeter'), unit('inch')];
  const [month, year] = [unit('month', 'long', 0), unit('year', 'long', 0)];
  const both = (us: string, metric: string) => (units === 'us' ? `${us} (${metric})` : `${metric} (${us})`);
  const map = ({ min, max }: Range, convert: (value: number) => number): Range => ({
    min: convert(min),
    max: convert(max),
  });
  const exactAge = (months: number): string => {
    const [years, rest] = [Math.floor(months / 12), Math.floor(months % 12)];
    if (years < 2) return month(ends(Math.floor(months)));
    return rest === 0 ? year(ends(years)) : `${year(ends(years))} ${month(ends(rest))}`;
  };
  const dateFormat = (options: Intl.DateTimeFormatOptions) =>
    new Intl.DateTimeFormat(language, { ...options, timeZone: 'UTC' });
  const byPrecision: Readonly<Record<number, Intl.DateTimeFormat>> = {
    4: dateFormat({ year: 'numeric' }),
    7: dateFormat({ year: 'numeric', month: 'long' }),
    10: dateFormat({ year: 'numeric', month: 'long', day: 'numeric' }),
  };
  // A board shows many times, and making a format takes longer than using it.
  const clocks = new Map<string, Intl.DateTimeFormat>();
  const clockOf = (timeZone: string) =>
    new Intl.DateTimeFormat(language, { hour: 'numeric', minute: '2-digit', timeZone });
  const names = new Intl.DisplayNames(language, { type: 'language' });
  const lists = new Intl.ListFormat(language);
  const percents = new Intl.NumberFormat(language, { style: 'percent', maximumFractionDigits: 0 });
  const numbers = new Intl.NumberFormat(language, { maximumFractionDigits: 2 });
  return {
    weight: (value) => both(lb(map(ends(value), kgToLb)), kg(ends(value))),
    length: (value) => both(inch(map(ends(value), cmToIn)), cm(ends(value))),
    age: (value) => {
      const { min, max } = ends(value);
      if (min === max) return exactAge(min);
      if (max < 36) return month({ min, max });
      const wholeYear = min % 12 === 0 && max === min + 11;
      return wholeYear ? `${exactAge(min)} (${month({ min, max })})` : `${exactAge(min)} – ${exactAge(max)}`;
    },
    years: (value) => year(ends(value)),
    date: (date) => byPrecision[date.length]?.format(new Date(firstDay(date))) ?? date,
    instant: (iso, timeZone) =>
      new Intl.DateTimeFormat(language, {
        year: 'numeric',
        month: 'short',
        day: 'numeric',
        hour: 'numeric',
        minute: '2-digit',
        timeZoneName: 'short',
        timeZone,
      }).format(new Date(iso)),
    time: (iso, timeZone) => {
      const format = clocks.get(timeZone) ?? clockOf(timeZone);
      clocks.set(timeZone, format);
      return format.format(new Date(iso));
    },
    percent: (share) => percents.format(share),
    number: (value) => numbers.format(value),
    languageName: (tag) => {
      try {
        return names.of(tag) ?? tag;
      } catch {
        return tag;
      }
    },
    list: (items) => lists.format(items),
  };
}

/** A measure of a case as a range, or null where it is unknown. */
export const known = (measure: Measure): Range | null => (measure == null ? null : ends(measure));
