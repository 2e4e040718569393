import { type Lexicon, lexiconSchema } from '#dialogs/understanding/lexicon.ts';
import type { Language } from '#dialogs/understanding/types.ts';
import ar from '#locales/ar/lexicon.json' with { type: 'json' };
import en from '#locales/en/lexicon.json' with { type: 'json' };
import es from '#locales/es/lexicon.json' with { type: 'json' };
import fr from '#locales/fr/lexicon.json' with { type: 'json' };
import ht from '#locales/ht/lexicon.json' with { type: 'json' };
import ko from '#locales/ko/lexicon.json' with { type: 'json' };
import ptBR from '#locales/pt-BR/lexicon.json' with { type: 'json' };
import ru from '#locales/ru/lexicon.json' with { type: 'json' };
import so from '#locales/so/lexicon.json' with { type: 'json' };
import tl from '#locales/tl/lexicon.json' with { type: 'json' };
import vi from '#locales/vi/lexicon.json' with { type: 'json' };
import zhHans from '#locales/zh-Hans/lexicon.json' with { type: 'json' };

const files: Record<Language, unknown> = { en, es, 'zh-Hans': zhHans, vi, ar, fr, ht, 'pt-BR': ptBR, ru, ko, tl, so };

/** The lexicon of every language, each checked against its schema when it is first asked for. */
export const loadLexicons = (): Record<Language, Lexicon> => {
  const lexicons = {};
  for (const [language, file] of Object.entries(files)) {
    let parsed: Lexicon | null = null;
    Object.defineProperty(lexicons, language, { enumerable: true, get: () => (parsed ??= lexiconSchema.parse(file)) });
  }
  return lexicons as Record<Language, Lexicon>;
};
