import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { z } from 'zod';

/** A language the conversation can be held in. */
export interface PageLanguage {
  readonly tag: string;
  /** By its own name, as its speakers look for it. */
  readonly name: string;
  /** What is said in the conversation to go on in it: its English name, heard in every language. */
  readonly wish: string;
  /** Said until a native speaker with the trade's training has reviewed the texts; null from then on. */
  readonly notice: string | null;
}

const LOCALES = new URL('../../locales/', import.meta.url);

const about = z.object({ name: z.string().min(1), reviewed: z.boolean(), notice: z.string().nullish() });

const nameOf = (tag: string): string =>
  new Intl.DisplayNames(tag, { type: 'language', languageDisplay: 'standard' }).of(tag) ?? tag;

const englishNames = new Intl.DisplayNames('en', { type: 'language' });

const wishFor = (tag: string): string => englishNames.of(new Intl.Locale(tag).language) ?? tag;

/** Every language that has chat texts, in the order of their tags. */
export function loadPageLanguages(): readonly PageLanguage[] {
  return readdirSync(LOCALES)
    .filter((tag) => existsSync(new URL(`${tag}/chat.json`, LOCALES)))
    .sort()
    .map((tag) => {
      const file = new URL(`${tag}/about.json`, LOCALES);
      const read = existsSync(file) ? about.parse(JSON.parse(readFileSync(file, 'utf8'))) : null;
      const name = read?.name ?? nameOf(tag);
      const notice = read && !read.reviewed ? (read.notice ?? null) : null;
      return { tag, name, wish: wishFor(tag), notice };
    });
}
