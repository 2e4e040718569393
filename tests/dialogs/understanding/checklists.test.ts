import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { QUESTIONS } from '#dialogs/questions/order.ts';
import { type ChecklistWords, readKeywords } from '#dialogs/understanding/checklists.ts';
import { loadChecklistWords } from '#src/locales/checklists.ts';
import { caregiverOfOne, ears } from '../caregiver.ts';

/** Groups that tell something beside the choices of a question. */
const OF_NO_QUESTION = ['consent', 'half-day', 'second-seat', 'send', 'slot', 'somewhere-behind', 'whole-list'];

describe('things named in free words', () => {
  it.each([
    ['en', 'harness-check', 'no coat, but I can pinch the strap', ['pinchable']],
    ['en', 'install-check', "it moves and the belt isn't locked", ['belt-unlocked', 'moves']],
    ['en', 'position', 'behind the driver', ['p2L']],
    ['en', 'position', 'in the middle of the back', ['p2C']],
    ['en', 'attachment', 'the seat belt', ['seat-belt']],
    ['en', 'tether', 'not attached, it just hangs', ['not-attached']],
    ['en', 'seat-history', 'got it from my sister, it was never in a crash', ['second-hand-known']],
    ['en', 'vehicle-hardware', 'only a lap belt back there', ['lap-only']],
    ['en', 'care-needs', 'she was premature', ['born-early']],
    ['es', 'install-check', 'se mueve mucho', ['moves']],
    ['es', 'position', 'detrás del conductor', ['p2L']],
    ['es', 'attachment', 'con los ganchos', ['lower-anchors']],
    ['es', 'harness-check', 'trae chamarra y las correas flojas', ['pinchable', 'coat']],
    ['es', 'tether', 'no está enganchada', ['not-attached']],
    ['en', 'harness-check', 'I like turtles', []],
  ] as const)('%s, %s: %s', (language, group, text, ids) => {
    expect([...ears.keywords(text, language, group)].sort()).toEqual([...ids].sort());
  });

  it('belong to choices of their question, in every language', () => {
    const family = caregiverOfOne();
    expect(family.now.reply.asking).toBe('age');
    // A seat in another car answers no question; it is noted whenever it is said.
    const groups = new Map(QUESTIONS.flatMap((q) => (q.words ? [[q.words, q] as const] : [])));
    for (const words of Object.values(loadChecklistWords()))
      for (const group of Object.keys(words.groups).filter((each) => !OF_NO_QUESTION.includes(each)))
        expect(groups.has(group), group).toBe(true);
  });

  it('are looked for in any text without a fault', () => {
    const group = fc.constantFrom('harness-check', 'install-check', 'seat-history', 'position');
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 300 }), group, (text, of) => {
        expect(Array.isArray(ears.keywords(text, 'en', of))).toBe(true);
      }),
    );
  });
});

describe('an emergency', () => {
  it.each([
    ['en', 'we just had a crash and he is bleeding', true],
    ['en', 'my baby is not breathing', true],
    ['en', 'it was in a crash last year', false],
    ['en', 'the seat was in a crash', false],
    ['es', 'acabamos de chocar', true],
    ['es', 'el bebé no respira', true],
    ['es', 'chocamos el año pasado', false],
  ] as const)('%s: %s', (_, text, urgent) => {
    expect(ears.emergency(text)).toBe(urgent);
  });

  it('gives the emergency line first, then a person', () => {
    const family = caregiverOfOne();
    family.says('we just crashed and my son is bleeding');
    expect(family.heard().split('\n')[0]).toContain('911');
    expect(family.now.reply.asking).toBe('contact');
  });
});

describe('a number of children', () => {
  it.each([
    ['en', 'two', 2],
    ['en', 'just the one', 1],
    ['en', '2 kids', 2],
    ['en', 'twins', 2],
    ['es', 'dos', 2],
    ['es', 'solo uno', 1],
    ['es', 'gemelos', 2],
    ['en', 'some', null],
  ] as const)('%s: %s', (language, text, count) => {
    expect(ears.count(text, language)).toBe(count);
  });
});

describe('a "no" before the thing', () => {
  const words = loadChecklistWords().en as ChecklistWords;
  it.each([
    ['no, not hooked', ['not-attached']],
    ['no not hooked', ['not-attached']],
    ['not connected and loose', ['not-attached']],
  ])('is an answer of its own: "%s"', (text, ids) => {
    expect(readKeywords(text, words, 'tether')).toEqual(expect.arrayContaining(ids));
    expect(readKeywords(text, words, 'tether')).not.toContain('attached');
  });
});

describe('an emergency in another language', () => {
  it.each(['mi hija no respira', '孩子没呼吸了', 'ребёнок не дышит'])(
    'is heard whatever language the talk is in: "%s"',
    (text) => {
      expect(ears.emergency(text)).toBe(true);
    },
  );
});
