import { describe, expect, it } from 'vitest';
import { figuresOf, interviewAll } from './measure.ts';

describe('the interview of generated families', () => {
  const all = [...interviewAll().values()].flat();
  const figures = figuresOf(all);

  it('asks the first child at most 16 questions at the median, each further one at most 11', () => {
    expect(figures.families).toBeGreaterThanOrEqual(200);
    expect(figures.first[0]).toBeLessThanOrEqual(16);
    expect(figures.further?.[0]).toBeLessThanOrEqual(11);
  });

  it('loses no finding that asking everything would have given, and invents none', () => {
    expect(all.flatMap(({ family, lost }) => lost.map((key) => `${family.kind}: ${key}`))).toEqual([]);
    expect(all.flatMap(({ family, invented }) => invented.map((key) => `${family.kind}: ${key}`))).toEqual([]);
  });

  it('asks nothing twice but a part still missing of a label or of the vehicle', () => {
    for (const { asked } of all) {
      const keys = asked.map(({ question, child }) => `${question}:${child}`);
      const again = keys.filter((key, i) => keys.indexOf(key) !== i);
      expect(again.filter((key) => !/^(label-limits|vehicle):/.test(key))).toEqual([]);
    }
  });
});
