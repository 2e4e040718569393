import {
  recognizeAge,
  recognizeBoolean,
  recognizeDateTime,
  recognizeDimension,
  recognizeNumber,
} from '@microsoft/recognizers-text-suite';
import type { Language, Reading, ReadRequest, ReadValues } from '#dialogs/understanding/types.ts';
import { CM_PER_IN, IN_PER_FT, KG_PER_LB, OZ_PER_LB } from '#shared/units.ts';

/** The cultures of the package that answer to a language of ours. */
export const CULTURES: Readonly<Partial<Record<Language, string>>> = {
  en: 'en-us',
  es: 'es-es',
  fr: 'fr-fr',
  'pt-BR': 'pt-br',
  'zh-Hans': 'zh-cn',
};

interface Entity {
  readonly resolution?: { readonly value?: string; readonly unit?: string; readonly values?: readonly Timex[] } | null;
}
interface Timex {
  readonly timex?: string;
  readonly value?: string;
}

const KG: readonly (readonly [RegExp, number])[] = [
  [/^(Kilogram|Kilogramo|Kilogramme|Quilograma)/i, 1],
  [/^(Gram|Gramo|Gramme|Grama)$/i, 0.001],
  [/^(Pound|Libra|Livre)/i, KG_PER_LB],
  [/^(Ounce|Onza|Once|Onça)/i, KG_PER_LB / OZ_PER_LB],
  [/^(Stone)/i, 14 * KG_PER_LB],
  [/^Jin$/i, 0.5],
];
const CM: readonly (readonly [RegExp, number])[] = [
  [/^(Centimeter|Centímetro|Centimetre|Centimètre)/i, 1],
  [/^(Meter|Metro|Metre|Mètre)s?$/i, 100],
  [/^(Foot|Pie|Pied|Pé)$/i, CM_PER_IN * IN_PER_FT],
  [/^(Inch|Pulgada|Pouce|Polegada)/i, CM_PER_IN],
];
const MONTHS: readonly (readonly [RegExp, number])[] = [
  [/^(Year|Año|An|Ano|Année)/i, 12],
  [/^(Month|Mes|Mois|Mês)/i, 1],
  [/^(Week|Semana|Semaine)/i, 7 / 30.44],
  [/^(Day|D[ií]a|Jour)/i, 1 / 30.44],
];

const sum = (entities: readonly Entity[], sizes: typeof KG): number | null => {
  let total: number | null = null;
  for (const { resolution } of entities) {
    const size = sizes.find(([unit]) => unit.test(resolution?.unit ?? ''))?.[1];
    const value = Number(resolution?.value);
    if (size !== undefined && Number.isFinite(value)) total = (total ?? 0) + value * size;
  }
  return total;
};

const firstNumber = (text: string, culture: string): number | null => {
  const value = Number((recognizeNumber(text, culture) as Entity[])[0]?.resolution?.value);
  return Number.isFinite(value) ? value : null;
};

const none: Reading = { values: {}, confidence: 'none' };
const sure = (values: ReadValues): Reading => ({ values, confidence: 'sure' });

const measure = (key: 'weightKg' | 'heightCm', { text, context }: ReadRequest, culture: string): Reading => {
  const weight = key === 'weightKg';
  const stated = sum(recognizeDimension(text, culture) as Entity[], weight ? KG : CM);
  if (stated !== null) return sure({ [key]: stated });
  const number = firstNumber(text, culture);
  if (number === null) return none;
  const size = context?.units === 'metric' ? 1 : weight ? KG_PER_LB : CM_PER_IN;
  return { values: { [key]: number * size }, confidence: 'confirm' };
};

const age = ({ text }: ReadRequest, culture: string): Reading => {
  const date = dated({ text } as ReadRequest, culture, 'birthDate');
  const ages = recognizeAge(text, culture) as Entity[];
  const total = sum(ages, MONTHS);
  if (total !== null) {
    const first = Math.floor(total + 1e-9);
    const inYears = ages.length === 1 && (MONTHS[0]?.[0].test(ages[0]?.resolution?.unit ?? '') ?? false);
    const width = !inYears ? 0 : first % 12 === 0 ? 11 : 5;
    return sure({ ageMonths: [first, first + width] });
  }
  if (date.confidence !== 'none') return date;
  const number = firstNumber(text, culture);
  return number === null ? none : sure({ ageMonths: [number * 12, number * 12 + 11] });
};

const dated = ({ text }: ReadRequest, culture: string, key: 'date' | 'birthDate'): Reading => {
  for (const { resolution } of recognizeDateTime(text, culture) as Entity[])
    for (const { timex } of resolution?.values ?? [])
      if (timex && /^\d{4}-\d{2}(-\d{2})?$/.test(timex)) return sure({ [key]: timex });
  return none;
};

/**
 * What a general package for numbers, units and dates makes of a message, put into the reader's form with the least
 * that its users would write: sums of units, the customary unit for a bare number (to be confirmed), a year's width.
 */
export const readByPackage = (request: ReadRequest): Reading => {
  const culture = CULTURES[request.language as Language] ?? 'en-us';
  switch (request.asked) {
    case 'weight':
      return measure('weightKg', request, culture);
    case 'height':
      return measure('heightCm', request, culture);
    case 'age':
      return age(request, culture);
    case 'date':
      return dated(request, culture, 'date');
    case 'yes-no': {
      const [found] = recognizeBoolean(request.text, culture) as { resolution?: { value?: boolean } }[];
      return found ? sure({ answer: found.resolution?.value ? 'yes' : 'no' }) : none;
    }
    default:
      return none;
  }
};
