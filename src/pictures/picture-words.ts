import { readdirSync, readFileSync } from 'node:fs';
import english from '#locales/en/pictures.json' with { type: 'json' };
import type { PictureId } from './picture-ids.ts';

/** The alternative text of a picture in a language; in English where the language has none. */
export type PictureWords = (language: string, id: PictureId) => string;

const LOCALES = new URL('../../locales/', import.meta.url);

export function loadPictureWords(): PictureWords {
  const texts = new Map<string, Partial<Record<PictureId, string>>>(
    readdirSync(LOCALES).flatMap((language) => {
      const folder = new URL(`${language}/`, LOCALES);
      if (!readdirSync(folder).includes('pictures.json')) return [];
      return [[language, JSON.parse(readFileSync(new URL('pictures.json', folder), 'utf8'))] as const];
    }),
  );
  return (language, id) => texts.get(language)?.[id] ?? english[id];
}
