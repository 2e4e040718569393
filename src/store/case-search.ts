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

/** Six digits or more in a row, whatever stands between them but letters: a telephone number, as the question takes it. */
const NUMBER = /\p{Nd}(?:[^\p{L}\p{N}]{0,3}\p{Nd}){5,}/gu;
const EMAIL = /\S*@\S*/gu;

/** The words without what somebody can be reached by: the column is searched, so it is not sealed. */
const withoutContact = (text: string): string => text.replace(EMAIL, ' ').replace(NUMBER, ' ');

/** Notes without whole lines that can hold a contact, such as the one that was left. */
const withoutContactLines = (notes: string): string =>
  notes
    .split('\n')
    .filter((line) => !line.includes('@') && (line.match(/\p{Nd}/gu) ?? []).length < 6)
    .join('\n');

/** What a family is found by: its reference with and without hyphens, its children's nicknames, its own words but no contact. */
export function searchText({ reference, case: { children }, caregiverWords, notes }: PreVisitSummary): string {
  const said = [...children.map(({ name }) => name ?? ''), ...caregiverWords.map(({ text }) => text)];
  const words = [...said, withoutContactLines(notes)].map(withoutContact);
  const parts = [reference, reference.replaceAll('-', ''), ...words];
  return fold(parts.filter((part) => part !== '').join('\n'));
}

/** A search as patterns for `like … escape '\'`, one a word; every word must be found. Long searches are cut off. */
export const searchPatterns = (search: string): readonly string[] =>
  fold(search.slice(0, MAX_LENGTH))
    .split(/\s+/)
    .filter((word) => word !== '')
    .slice(0, MAX_WORDS)
    .map((word) => `%${word.replace(/[\\%_]/g, '\\$&')}%`);
