import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { LANGUAGES } from '#dialogs/understanding/types.ts';
import { ears } from '../caregiver.ts';

const GROUPS = [
  'care-needs',
  'seat-history',
  'crash-details',
  'acquired',
  'recall',
  'position',
  'front-air-bag',
  'vehicle-hardware',
  'attachment',
  'install-check',
  'belt-path',
  'recline',
  'tether',
  'harness-check',
  'straps',
  'chest-clip',
  'belt-check',
  'sex',
];

/** The words of every choice of the groups, as a language has them. */
const choicesOf = (language: string): (readonly [string, string, string])[] => {
  const path = new URL(`../../../locales/${language}/chat.json`, import.meta.url);
  const { choice } = JSON.parse(readFileSync(path, 'utf8')) as { choice: Record<string, Record<string, string>> };
  return GROUPS.flatMap((group) =>
    Object.entries(choice[group] ?? {}).map(([id, words]) => [group, words, id] as const),
  );
};

describe.each(LANGUAGES)('the words of a choice in %s', (language) => {
  it.each(choicesOf(language))('name that choice when typed: %s, %s', (group, words, id) => {
    expect(ears.keywords(words, language, group)).toEqual([id]);
  });
});
