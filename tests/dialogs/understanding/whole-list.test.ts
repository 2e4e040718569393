import { describe, expect, it } from 'vitest';
import type { Language } from '#dialogs/understanding/types.ts';
import { ears } from '../caregiver.ts';

/** Messages of our own. */
const ALL: readonly (readonly [Language, string])[] = [
  ['en', 'No, none of these.'],
  ['es', 'No, nada de eso'],
  ['zh-Hans', '以上都没有。'],
  ['vi', 'Dạ không có cái nào hết'],
  ['ar', 'ولا واحد منها'],
  ['fr', 'Non, rien de tout cela'],
  ['ht', 'Non, okenn nan yo'],
  ['pt-BR', 'Não, nada disso!'],
  ['ru', 'Нет, ничего из этого'],
  ['ko', '해당되는 거 없어요'],
  ['tl', 'Wala po sa mga yan'],
  ['so', 'Maya, midna ma jiro'],
];

const PARTS: readonly (readonly [Language, string])[] = [
  ['en', 'none of these but it moves'],
  ['es', 'nada de eso pero se mueve mucho'],
  ['zh-Hans', '以上都没有，就是有点松'],
  ['fr', 'rien de tout cela sauf que ça bouge'],
  ['ru', 'ничего из этого кроме перекрученного ремня'],
];

describe('a denial of a whole list', () => {
  it.each(ALL)('is heard however long: %s %s', (language, text) => {
    expect(ears.deniesAll(text, language)).toBe(true);
  });

  it.each(PARTS)('is not one where anything more is said: %s %s', (language, text) => {
    expect(ears.deniesAll(text, language)).toBe(false);
  });
});
