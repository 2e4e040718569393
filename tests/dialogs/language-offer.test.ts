import { describe, expect, it } from 'vitest';
import { step } from '#dialogs/conversation.ts';
import type { Language } from '#dialogs/understanding/types.ts';
import { caregiverOfOne, ears, TODAY } from './caregiver.ts';

/** A caregiver of one child to whom another language is offered while the age is asked. */
const offered = (language: Language) => {
  const self = caregiverOfOne();
  const { snapshot } = self.now;
  const context = { ...snapshot.context, offered: { language, text: '2' } };
  return (text: string) =>
    step({ ...snapshot, value: 'choosingLanguage', context }, { text, choiceIds: [] }, TODAY, ears);
};

describe('the offer to go on in another language', () => {
  it.each([
    ['es', 'sí'],
    ['zh-Hans', '好的'],
    ['vi', 'vâng'],
    ['ar', 'نعم'],
    ['fr', 'oui'],
    ['ht', 'wi'],
    ['pt-BR', 'sim'],
    ['ru', 'да'],
    ['ko', '네'],
    ['tl', 'opo'],
    ['so', 'haa'],
  ] as const)('is taken by a yes in it, and what was said is heard in it: %s', (language, yes) => {
    const { snapshot, case: theCase } = offered(language)(yes);
    expect([snapshot.context.language, snapshot.context.offered]).toEqual([language, null]);
    expect(theCase.children[0]?.ageMonths).toEqual({ min: 24, max: 35 });
  });

  it.each(['yes', 'no sé'])('is taken by what means no less: %s', (words) => {
    expect(offered('es')(words).snapshot.context.language).toBe('es');
  });

  it.each(['no', 'no thanks, English please'])('is declined by a no, and the question stands: %s', (words) => {
    const { snapshot, reply } = offered('es')(words);
    expect([snapshot.context.language, reply.asking]).toEqual(['en', 'age']);
  });

  it('is made where a sentence of another language only seems to be a no', () => {
    const self = caregiverOfOne();
    self.says('2 years 3 months, 29 lb, 35 in');
    expect(self.says('no entiendo bien la pregunta sobre mi hija').reply.asking).toBe('language');
    expect(self.now.case.children[0]?.medicalNeeds).toBeUndefined();
  });
});
