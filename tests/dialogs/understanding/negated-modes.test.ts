import { describe, expect, it } from 'vitest';
import type { Language } from '#dialogs/understanding/types.ts';
import { ears } from '../caregiver.ts';

const read = (language: Language, text: string) => ears.read({ language, asked: 'mode', text });

/** Messages of our own: what a child does not do yet must never be taken for how it rides. */
describe('a way of riding that is denied', () => {
  it.each([
    ['en', "she's not facing forward yet", 'forward-facing'],
    ['en', 'he does not use a booster', 'booster'],
    ['es', 'todavía no mira hacia adelante', 'forward-facing'],
    ['es', 'aún no va mirando hacia adelante', 'forward-facing'],
    ['fr', "elle ne regarde pas encore vers l'avant", 'forward-facing'],
  ] as const)('%s: %s', (language, text, denied) => {
    const { values, confidence } = read(language, text);
    expect(values.mode === denied && confidence === 'sure').toBe(false);
  });

  it.each([
    ['en', 'she is facing forward', 'forward-facing'],
    ['es', 'va mirando hacia adelante', 'forward-facing'],
    ['fr', "elle regarde vers l'avant", 'forward-facing'],
    ['en', 'no seat and no belt', 'none'],
  ] as const)('is still heard where it is said: %s: %s', (language, text, mode) => {
    expect(read(language, text)).toMatchObject({ values: { mode }, confidence: 'sure' });
  });
});
