import { describe, expect, it } from 'vitest';
import { LANGUAGES } from '#dialogs/understanding/types.ts';
import { devCases, freshCases, reader, scoreCases } from './sets.ts';

const share = ({ right, total }: { right: number; total: number }): number => right / total;

describe('the development set', () => {
  const { all, tallies, silent } = scoreCases(devCases());

  it('has 73 cases in each of the twelve languages', () => {
    for (const language of LANGUAGES) expect(tallies[language].total).toBe(73);
  });

  it('is read right in at least 97 of 100 cases, in each language too', () => {
    expect(share(all)).toBeGreaterThanOrEqual(0.97);
    for (const language of LANGUAGES) expect(share(tallies[language]), language).toBeGreaterThanOrEqual(0.97);
  });

  it('is never read wrong without saying so', () => {
    expect(silent).toEqual([]);
  });
});

describe('the messages written while building', () => {
  const { all, tallies, silent } = scoreCases(freshCases());

  it('are at least 60 in each language', () => {
    for (const language of LANGUAGES) expect(tallies[language].total, language).toBeGreaterThanOrEqual(60);
  });

  it('are read right in at least 97 of 100 cases, in each language in at least 95', () => {
    expect(share(all)).toBeGreaterThanOrEqual(0.97);
    for (const language of LANGUAGES) expect(share(tallies[language]), language).toBeGreaterThanOrEqual(0.95);
  });

  it('are never read wrong without saying so', () => {
    expect(silent).toEqual([]);
  });
});

describe('the language of a message', () => {
  const cases = [...devCases(), ...freshCases()];
  const words = (text: string) => text.split(/\s+/).filter((word) => /\p{L}/u.test(word)).length;

  it('is recognised in most messages of five words or more, and hardly ever taken for another', () => {
    const long = cases.filter(({ text }) => words(text) >= 5);
    const heard = long.map(({ text, language }) => ({ language, heard: reader.recogniseLanguage(text) }));
    const right = heard.filter(({ language, heard }) => language === heard).length;
    const wrong = heard.filter(({ language, heard }) => heard !== null && language !== heard).length;
    expect(right / long.length).toBeGreaterThan(0.85);
    expect(wrong / long.length).toBeLessThan(0.01);
  });

  it.each(['', '28', '12 kg', 'ok', '👍', 'xyzzy', 'Las Vegas'])('is unsure of %j', (text) => {
    expect(reader.recogniseLanguage(text)).toBeNull();
  });
});
