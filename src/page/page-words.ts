import { readdirSync, readFileSync } from 'node:fs';
import { z } from 'zod';
import english from '#locales/en/page.json' with { type: 'json' };

export type PageWords = Readonly<Record<keyof typeof english, string>>;

const FOLDER = new URL('../../locales/', import.meta.url);
const words = z.object(
  Object.fromEntries(Object.entries(english).map(([key, text]) => [key, z.string().min(1).default(text)])) as Record<
    keyof PageWords,
    z.ZodDefault<z.ZodString>
  >,
);

/** The page's own words by language, from every `locales/<language>/page.json`; a gap speaks English. */
export function loadPageWords(): ReadonlyMap<string, PageWords> {
  const languages = readdirSync(FOLDER, { withFileTypes: true }).filter((entry) => entry.isDirectory());
  return new Map(
    languages.flatMap(({ name }) => {
      const text = readIfThere(new URL(`${name}/page.json`, FOLDER));
      return text === null ? [] : [[name, words.parse(JSON.parse(text))] as const];
    }),
  );
}

function readIfThere(file: URL): string | null {
  try {
    return readFileSync(file, 'utf8');
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return null;
    throw error;
  }
}
