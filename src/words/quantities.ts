import type { Phrase, Quantity } from '#dialogs/reply.ts';
import usLaws from '#shared/laws/us.json' with { type: 'json' };
import { cmToIn, kgToLb } from '#shared/units.ts';
import { type NamedUnit, namesOf } from '#src/locales/names.ts';

type Range = { readonly min: number; readonly max: number };
type Measure = number | Range;

/** Tags for Intl: figures as families in the US read them, and a relative where Intl has no data for a language. */
const INTL_TAG: Readonly<Record<string, string>> = { en: 'en-US', es: 'es-US', tl: 'fil', ht: 'fr-HT' };

export const intlTag = (language: string): string => INTL_TAG[language] ?? language;

/** Intl's formats by language and options: making one takes longer than using it a hundred times. */
function kept<Options extends object, Format>(make: (tag: string, options: Options) => Format) {
  const formats = new Map<string, Format>();
  return (language: string, options: Options): Format => {
    const key = `${language} ${JSON.stringify(options)}`;
    const known = formats.get(key);
    if (known) return known;
    const made = make(intlTag(language), options);
    formats.set(key, made);
    return made;
  };
}

const numberFormat = kept((tag, options: Intl.NumberFormatOptions) => new Intl.NumberFormat(tag, options));
const dateFormat = kept((tag, options: Intl.DateTimeFormatOptions) => new Intl.DateTimeFormat(tag, options));
const listFormat = kept((tag, options: Intl.ListFormatOptions) => new Intl.ListFormat(tag, options));

/** A figure, or two, with its unit: the language's own word for the unit if it brings one, else that of Intl. */
function counted(language: string, unit: NamedUnit, value: Measure, options: Intl.NumberFormatOptions): string {
  const own = namesOf(language).units?.[unit];
  const format = numberFormat(language, own ? options : { style: 'unit', unit, ...options });
  const figures = typeof value === 'number' ? format.format(value) : format.formatRange(value.min, value.max);
  return own ? own.replace('{{n}}', figures) : figures;
}

const inUnit = (language: string, unit: NamedUnit, value: Measure, convert: (n: number) => number): string =>
  counted(
    language,
    unit,
    typeof value === 'number' ? convert(value) : { min: convert(value.min), max: convert(value.max) },
    { maximumFractionDigits: 1 },
  );

const same = (n: number): number => n;

/** A weight in pounds and kilograms, rounded for words only. */
export const weightWords = (language: string, kg: Measure): string =>
  `${inUnit(language, 'pound', kg, kgToLb)} (${inUnit(language, 'kilogram', kg, same)})`;

/** A height in inches and centimetres, rounded for words only. */
export const heightWords = (language: string, cm: Measure): string =>
  `${inUnit(language, 'inch', cm, cmToIn)} (${inUnit(language, 'centimeter', cm, same)})`;

const YEAR = 12;
const COUNTED_IN_MONTHS = 24;

const longUnit = (language: string, unit: NamedUnit, value: Measure): string =>
  counted(language, unit, value, { unitDisplay: 'long', maximumFractionDigits: 0 });

/** An age as people say it: months under two years, else years and months; a whole year as that many years. */
export function ageWords(language: string, { min, max }: Range): string {
  if (min !== max) {
    const wholeYear = min % YEAR === 0 && max - min === YEAR - 1 && min >= YEAR;
    if (wholeYear) return longUnit(language, 'year', min / YEAR);
    if (min < COUNTED_IN_MONTHS) return longUnit(language, 'month', { min, max });
    return `${ageWords(language, { min, max: min })} – ${ageWords(language, { min: max, max })}`;
  }
  if (min < COUNTED_IN_MONTHS) return longUnit(language, 'month', min);
  const years = longUnit(language, 'year', Math.floor(min / YEAR));
  return min % YEAR === 0 ? years : listWords(language, [years, longUnit(language, 'month', min % YEAR)], 'unit');
}

/** The Russian word for the year, which Intl shortens with a full stop that a sentence would double. */
const withoutShortYear = (text: string): string => text.replace(/\sг\.$/u, ' года');

/** A calendar date at the precision it has. */
export function dateWords(language: string, date: string): string {
  const [year, month, day] = date.split('-').map(Number);
  const at = new Date(Date.UTC(year as number, (month ?? 1) - 1, day ?? 1));
  const format = dateFormat(language, {
    timeZone: 'UTC',
    year: 'numeric',
    ...(month !== undefined && { month: 'long' }),
    ...(day !== undefined && { day: 'numeric' }),
  });
  const own = namesOf(language).months?.[at.getUTCMonth()];
  const words = format.formatToParts(at).map(({ type, value }) => (type === 'month' ? (own ?? value) : value));
  return withoutShortYear(words.join(''));
}

/** The time of day of an instant (ISO 8601) by the clocks of a place. */
export const timeWords = (language: string, at: string, timeZone: string): string =>
  dateFormat(language, { timeZone, hour: 'numeric', minute: '2-digit' }).format(new Date(at));

export function listWords(
  language: string,
  items: readonly string[],
  type: 'conjunction' | 'unit' = 'conjunction',
): string {
  const format = listFormat(language, { type, style: type === 'unit' ? 'narrow' : 'long' });
  const { and } = namesOf(language);
  if (and === undefined || type === 'unit') return format.format(items);
  const parts = format.formatToParts(items);
  const last = parts.findLastIndex((part) => part.type === 'literal');
  return parts.map(({ value }, at) => (at === last ? ` ${and} ` : value)).join('');
}

/** A language by its own name. */
export const languageWords = (tag: string): string =>
  namesOf(tag).language ??
  new Intl.DisplayNames(intlTag(tag), { type: 'language', languageDisplay: 'standard' }).of(tag) ??
  tag;

const STATES = new Map<string, string>(usLaws.jurisdictions.map(({ code, name }) => [code, name]));

const placeWords = (language: string, code: string): string =>
  namesOf(language).states?.[code] ?? STATES.get(code) ?? code;

/** A quantity in the reader's language; phrases inside it are said by `say`. */
export function quantityWords(language: string, quantity: Quantity, say: (phrase: Phrase) => string): string {
  switch (quantity.kind) {
    case 'weight':
      return weightWords(language, quantity.kg);
    case 'height':
      return heightWords(language, quantity.cm);
    case 'age':
      return ageWords(language, quantity.months);
    case 'date':
      return dateWords(language, quantity.date);
    case 'time':
      return timeWords(language, quantity.at, quantity.timeZone);
    case 'minutes':
      return longUnit(language, 'minute', quantity.count);
    case 'language':
      return languageWords(quantity.tag);
    case 'place':
      return placeWords(language, quantity.code);
    case 'phrase':
      return say(quantity.phrase);
    case 'list':
      return listWords(language, quantity.phrases.map(say));
  }
}
