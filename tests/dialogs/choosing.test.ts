import { describe, expect, it } from 'vitest';
import { chosenIn, withoutContradiction } from '#dialogs/choosing.ts';

const checklist = { choices: ['moves', 'twisted', 'none', 'unsure'], many: true, numeric: false };
const single = { ...checklist, many: false };

describe('a message that consists of choices', () => {
  it.each([
    ['moves', ['moves']],
    [' MOVES ', ['moves']],
    ['2', ['twisted']],
    ['２', ['twisted']],
    ['moves, twisted', ['moves', 'twisted']],
    ['1 2', ['moves', 'twisted']],
    ['none', ['none']],
  ])('is read by id or place in the list: %s', (text, ids) => {
    expect(chosenIn(text, checklist)).toEqual(ids);
  });

  it('takes only one where one is asked for', () => {
    expect(chosenIn('moves, twisted', single)).toBeNull();
  });

  it('leaves a bare number to the question where a number is an answer', () => {
    expect(chosenIn('2', { ...single, numeric: true })).toBeNull();
  });

  it('is nothing but choices', () => {
    expect(chosenIn('it moves, twisted', checklist)).toBeNull();
    expect(chosenIn('9', checklist)).toBeNull();
    expect(chosenIn('', checklist)).toBeNull();
  });
});

describe('ticks that contradict each other', () => {
  it('keep the problem and drop "none"', () => {
    expect(withoutContradiction(['moves', 'none'])).toEqual(['moves']);
  });
  it('keep "unsure" over "none"', () => {
    expect(withoutContradiction(['none', 'unsure'])).toEqual(['unsure']);
  });
});
