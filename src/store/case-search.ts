import type { PreVisitSummary } from '#shared/summary.ts';

const MAX_WORDS = 8;
const MAX_LENGTH = 100;

/** Letters without case and accents, so that both databases compare them alike; control characters become spaces. */
const fold = (text: string): string =>
  text
    .toWellFormed()
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .replace(/\p{C}+/gu, ' ')
    .toLowerCase();

/** What a family is found by: its reference with and without hyphens, its children's nicknames, its own words. */
export function searchText({ reference, case: { children }, caregiverWords, notes }: PreVisitSummary): string {
  const words = caregiverWords.map(({ text }) => text);
  const parts = [reference, reference.replaceAll('-', ''), ...children.map(({ name }) => name ?? ''), ...words, notes];
  return fold(parts.filter((part) => part !== '').join('\n'));
}

/** A search as patterns for `like … escape '\'`, one a word; every word must be found. Long searches are cut off. */
export const searchPatterns = (search: string): readonly string[] =>
  fold(search.slice(0, MAX_LENGTH))
    .split(/\s+/)
    .filter((word) => word !== '')
    .slice(0, MAX_WORDS)
    .map((word) => `%${word.replace(/[\\%_]/g, '\\$&')}%`);
