import { readdirSync, readFileSync } from 'node:fs';
import i18next from 'i18next';

/** One file of `locales/<language>/` each. */
export type Namespace =
  | 'chat'
  | 'findings'
  | 'findings-technician'
  | 'desk'
  | 'mail'
  | 'take-home'
  | 'sms'
  | 'poster'
  | 'page';

export type Values = Readonly<Record<string, string | number>>;

/** A key and its values as words. Plural keys take a number called `count`. */
export type Say = (key: string, values?: Values) => string;

export interface Words {
  /** Languages that have a directory of their own, as BCP 47 tags. */
  readonly languages: readonly string[];
  /** What is missing in a language is said in English. */
  say(language: string, namespace: Namespace): Say;
  /** True if English has words for the key, and so every language. */
  has(namespace: Namespace, key: string): boolean;
}

export interface WordsOptions {
  /** Called with a key that no language has, or a value that was not given. Throws where nothing is said. */
  readonly onMissing?: (what: string) => void;
}

const LOCALES = new URL('../../locales/', import.meta.url);

function readLocales(): Record<string, Record<string, Record<string, unknown>>> {
  const languages = readdirSync(LOCALES, { withFileTypes: true }).filter((entry) => entry.isDirectory());
  return Object.fromEntries(
    languages.map(({ name }) => {
      const directory = new URL(`${name}/`, LOCALES);
      const files = readdirSync(directory).filter((file) => file.endsWith('.json'));
      return [
        name,
        Object.fromEntries(
          files.map((file) => [
            file.slice(0, -'.json'.length),
            JSON.parse(readFileSync(new URL(file, directory), 'utf8')),
          ]),
        ),
      ];
    }),
  );
}

const refuse = (what: string): never => {
  throw new Error(`Words are missing: ${what}`);
};

/** Reads every file of `locales/`. Values are put in as they are: pages escape when they are put together. */
export function createWords({ onMissing = refuse }: WordsOptions = {}): Words {
  const resources = readLocales();
  const instance = i18next.createInstance();
  void instance.init({
    initAsync: false,
    resources,
    lng: 'en',
    fallbackLng: 'en',
    ns: ['chat', 'findings', 'findings-technician', 'desk'],
    interpolation: { escapeValue: false },
    returnEmptyString: false,
    parseMissingKeyHandler: (key) => {
      onMissing(`key ${key}`);
      return key;
    },
    missingInterpolationHandler: (text, match) => {
      onMissing(`value ${match[1]} in "${text}"`);
      return '';
    },
  });
  return {
    languages: Object.keys(resources),
    say: (language, namespace) => {
      const translate = instance.getFixedT(language, namespace);
      return (key, values) => translate(key, { ...values });
    },
    has: (namespace, key) => instance.exists(key, { lng: 'en', ns: namespace }),
  };
}
