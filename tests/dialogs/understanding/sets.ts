import { readdirSync, readFileSync } from 'node:fs';
import { createReader } from '#dialogs/understanding/reader.ts';
import { type AskedSlot, LANGUAGES, type Language } from '#dialogs/understanding/types.ts';
import { loadLexicons } from '#src/locales/lexicons.ts';
import { type Case, count, emptyTally, score, type Tally } from './scorer.ts';

const here = new URL('.', import.meta.url).pathname;

export const reader = createReader(loadLexicons());

/** Reads a message as the sets do: on their day, in the US, of a child of so many months where that is known. */
export const read = (language: Language, asked: AskedSlot | null, text: string, ageMonths?: number) =>
  reader.read({
    language,
    asked,
    text,
    context: { today: '2026-05-16', units: 'us', ...(ageMonths && { ageMonths }) },
  });

export const devCases = (): readonly Case[] =>
  readFileSync(`${here}dev.jsonl`, 'utf8')
    .split('\n')
    .filter(Boolean)
    .map((line) => JSON.parse(line));

export const freshCases = (): readonly Case[] =>
  readdirSync(`${here}fresh`).flatMap((file) => JSON.parse(readFileSync(`${here}fresh/${file}`, 'utf8')));

export interface Scored {
  readonly tallies: Readonly<Record<Language, Tally>>;
  readonly all: Tally;
  /** Ids and texts of what was given as sure and is wrong, or was due to be read back. */
  readonly silent: readonly string[];
}

export const scoreCases = (cases: readonly Case[]): Scored => {
  const tallies = Object.fromEntries(LANGUAGES.map((language) => [language, emptyTally()])) as Record<Language, Tally>;
  const all = emptyTally();
  const silent: string[] = [];
  for (const each of cases) {
    const outcome = score(each, reader.read(each));
    count(tallies[each.language as Language], outcome);
    count(all, outcome);
    if (outcome === 'silent-wrong' || outcome === 'not-read-back') silent.push(`${each.id}: ${each.text}`);
  }
  return { tallies, all, silent };
};
