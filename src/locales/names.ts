import { z } from 'zod';
import ar from '#locales/ar/names.json' with { type: 'json' };
import es from '#locales/es/names.json' with { type: 'json' };
import fr from '#locales/fr/names.json' with { type: 'json' };
import ht from '#locales/ht/names.json' with { type: 'json' };
import ko from '#locales/ko/names.json' with { type: 'json' };
import ptBR from '#locales/pt-BR/names.json' with { type: 'json' };
import ru from '#locales/ru/names.json' with { type: 'json' };
import so from '#locales/so/names.json' with { type: 'json' };
import vi from '#locales/vi/names.json' with { type: 'json' };
import zhHans from '#locales/zh-Hans/names.json' with { type: 'json' };

const text = z.string().min(1);
/** "{{n}}" stands for the figure. One text for every number: these languages do not inflect after a figure. */
const counted = z.string().includes('{{n}}');

/** Names that a language brings itself, where Intl has no data for it or says another thing. All that is left out is Intl's. */
export const namesSchema = z.strictObject({
  /** The language by its own name. */
  language: text.optional(),
  /** January to December. */
  months: z.array(text).length(12).optional(),
  /** The word before the last item of a list. */
  and: text.optional(),
  units: z
    .strictObject({
      pound: counted,
      kilogram: counted,
      inch: counted,
      centimeter: counted,
      /** Years and months of age; some languages have a word for a year of age alone. */
      year: counted,
      month: counted,
      minute: counted,
    })
    .partial()
    .optional(),
  /** US states by their code, where the language calls them otherwise than English does. */
  states: z.record(z.string().regex(/^US-[A-Z]{2}$/), text).optional(),
});

export type Names = z.infer<typeof namesSchema>;
export type NamedUnit = keyof NonNullable<Names['units']>;

const FILES: Readonly<Record<string, unknown>> = {
  ar,
  es,
  fr,
  ht,
  ko,
  'pt-BR': ptBR,
  ru,
  so,
  vi,
  'zh-Hans': zhHans,
};

const NAMES = new Map(Object.entries(FILES).map(([language, file]) => [language, namesSchema.parse(file)]));

const NONE: Names = {};

/** The language's own names; empty where it brings none. */
export const namesOf = (language: string): Names => NAMES.get(language) ?? NONE;
