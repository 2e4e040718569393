import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { factOf } from '#dialogs/facts.ts';
import { readSnapshot } from '#dialogs/snapshot.ts';
import { parseCase } from '#shared/case.ts';
import { lbToKg } from '#shared/units.ts';
import { caregiver, caregiverOfOne } from './caregiver.ts';

describe('consent', () => {
  it('is asked first and said yes to in words', () => {
    const family = caregiver();
    expect(family.now.reply.asking).toBe('consent');
    expect(family.says('sure').reply.asking).toBe('child-count');
  });

  it('refused, drops what was said before', () => {
    const family = caregiver();
    family.says('my son is 4 and weighs 38 lb');
    expect(family.now.snapshot.context.words).toHaveLength(1);
    const { reply, snapshot } = family.says('no');
    expect(reply).toMatchObject({ asking: null, done: true });
    expect(snapshot.context.answers).toEqual([]);
    expect(snapshot.context.words).toEqual([]);
  });

  it('given, keeps what was said before and does not ask it again', () => {
    const family = caregiver();
    family.says('my daughter is 2 years 8 months, 29 lbs, 35 inches, still rear facing');
    family.says('yes');
    expect(family.taps('1').reply.asking).toBe('care-needs');
    expect(family.now.snapshot.context.words[0]?.asking).toBeNull();
  });
});

describe('a doubtful size said before consent', () => {
  it('is read back once consent is given', () => {
    const family = caregiver();
    family.says('she is 26 months and weighs 14 lb');
    expect(family.now.reply.asking).toBe('consent');
    expect(family.says('yes').reply.asking).toBe('confirm');
    family.says('yes');
    expect(factOf(family.now.case, 'children.c1.weightKg')).toBe(14);
  });
});

describe('an answer', () => {
  it('is said back in both unit systems with the next question', () => {
    const family = caregiverOfOne();
    family.says('26 months');
    family.says('28 lb');
    expect(family.heard()).toContain('28 lb (12.7 kg)');
    expect(family.now.reply.asking).toBe('height');
  });

  it('for a later question is kept, and that question skipped', () => {
    const family = caregiverOfOne();
    family.says('2 years 4 months and 29 lb');
    expect(family.now.reply.asking).toBe('height');
  });

  it('that corrects an earlier one replaces it', () => {
    const family = caregiverOfOne();
    family.says('26 months');
    family.says('28 lb');
    family.says('sorry, she weighs 31 lb');
    expect(factOf(family.now.case, 'children.c1.weightKg')).toBeCloseTo(lbToKg(31));
    expect(family.now.reply.asking).toBe('height');
  });

  it('of "I don\'t know" goes on and is kept as such', () => {
    const family = caregiverOfOne();
    family.says('26 months');
    family.says("I don't know");
    expect(family.now.reply.asking).toBe('height');
    expect(factOf(family.now.case, 'children.c1.weightKg')).toBeUndefined();
  });
});

describe('a doubtful size', () => {
  it('is read back in both unit systems before it is used', () => {
    const family = caregiverOfOne();
    family.says('26 months');
    family.says('14 lb');
    expect(family.now.reply.asking).toBe('confirm');
    expect(family.heard()).toContain('30.9 lb (14 kg)');
    expect(factOf(family.now.case, 'children.c1.weightKg')).toBeUndefined();
    family.says('yes');
    expect(factOf(family.now.case, 'children.c1.weightKg')).toBe(14);
    expect(family.now.reply.asking).toBe('height');
  });

  it('said no to is asked again', () => {
    const family = caregiverOfOne();
    family.says('26 months');
    family.says('14 lb');
    family.says('no');
    expect(family.now.reply.asking).toBe('weight');
    family.says('28 lb');
    expect(family.now.reply.asking).toBe('height');
  });

  it('takes a new value in place of yes or no', () => {
    const family = caregiverOfOne();
    family.says('26 months');
    family.says('14 lb');
    family.says('no, 28 lb');
    expect(factOf(family.now.case, 'children.c1.weightKg')).toBeCloseTo(lbToKg(28));
    expect(family.now.reply.asking).toBe('height');
  });

  it('that turns out odd only once the age is known is read back then, and marked when confirmed', () => {
    const family = caregiver();
    family.says('he weighs 60 lb');
    family.says('yes');
    family.taps('1');
    family.says('26 months');
    expect(family.now.reply.asking).toBe('confirm');
    family.says('yes');
    expect(factOf(family.now.case, 'children.c1.sizeConfirmed')).toBe(true);
    expect(family.now.reply.asking).toBe('height');
  });
});

describe('back', () => {
  it('takes away the last answers, one message at a time, and asks again', () => {
    const family = caregiverOfOne();
    family.says('26 months');
    family.says('28 lb');
    expect(family.says('back').reply.asking).toBe('weight');
    expect(factOf(family.now.case, 'children.c1.weightKg')).toBeUndefined();
    expect(family.says('back').reply.asking).toBe('age');
    expect(family.says('3').reply.asking).toBe('weight');
  });

  it('takes a size that was confirmed back together with its confirmation, and asks for it again', () => {
    const family = caregiverOfOne();
    family.says('3 years');
    family.says('30 lb');
    family.says('60 inches');
    expect(family.now.reply.asking).toBe('confirm');
    family.says('yes');
    expect(factOf(family.now.case, 'children.c1.sizeConfirmed')).toBe(true);
    expect(family.says('back').reply.asking).toBe('height');
    expect(factOf(family.now.case, 'children.c1.heightCm')).toBeUndefined();
    expect(family.says('back').reply.asking).toBe('weight');
  });

  it('and a no to limits whose question is not reached yet go on with the question that is', () => {
    const family = caregiver();
    family.says('yes');
    for (const choice of ['4', 'no-name', 'unborn', 'unsure', 'no-name', 'unborn']) family.taps(choice);
    family.says('60 inches');
    family.says('5-40 lb, up to 43 in');
    expect(family.now.reply.asking).toBe('confirm');
    expect(family.says('no').reply.asking).not.toBe('confirm');
  });

  it('at any step leaves a question to be asked', () => {
    const TEXTS = ['yes', '1', '3 years', '30 lb', '60 inches', 'unsure', 'none', 'back', 'back', 'why?'] as const;
    fc.assert(
      fc.property(fc.array(fc.constantFrom(...TEXTS), { minLength: 8, maxLength: 16 }), (texts) => {
        const family = caregiverOfOne();
        for (const text of texts) family.says(text);
      }),
      { numRuns: 15, examples: [[['3 years', '30 lb', '60 inches', 'yes', 'back', '60 inches', 'back', 'back']]] },
    );
  });

  it('at the first question says so', () => {
    const family = caregiver();
    family.says('yes');
    expect(family.says('back').reply.asking).toBe('child-count');
    expect(family.heard()).toContain('first question');
  });
});

describe('commands', () => {
  it('help, why and repeat keep the question', () => {
    const family = caregiverOfOne();
    family.says('26 months');
    for (const command of ['help', 'why do you ask?', 'repeat please'])
      expect(family.says(command).reply.asking).toBe('weight');
  });

  it('start over asks first, then forgets the answers but not the consent', () => {
    const family = caregiverOfOne();
    family.says('26 months');
    expect(family.says('start over').reply.asking).toBe('confirm');
    expect(family.says('yes').reply.asking).toBe('child-count');
    expect(family.now.snapshot.context.answers).toEqual([]);
  });

  it('delete asks first, then leaves nothing', () => {
    const family = caregiverOfOne();
    family.says('26 months');
    expect(family.says('delete my data').reply.asking).toBe('confirm');
    const { reply, snapshot } = family.says('yes');
    expect(reply).toMatchObject({ asking: null, done: true });
    expect(snapshot.context).toMatchObject({ answers: [], words: [], contact: null });
  });

  it('delete said no to goes on where it was', () => {
    const family = caregiverOfOne();
    family.says('26 months');
    family.says('delete my data');
    expect(family.says('no').reply.asking).toBe('weight');
  });

  it('a person may be reached by phone or in the chat, and the questions can go on', () => {
    const family = caregiverOfOne();
    family.says('I want to talk to a person');
    expect(family.now.reply.asking).toBe('contact');
    expect(family.says('555 010 0199').reply).toMatchObject({ asking: null, done: true });
    expect(family.now.snapshot.context.contact).toBe('555 010 0199');
    expect(family.taps('continue').reply.asking).toBe('age');
  });
});

describe('the language', () => {
  it('is asked where nobody chose it', () => {
    const family = caregiver('en', false);
    expect(family.now.reply.asking).toBe('language');
    expect(family.says('español').reply.asking).toBe('consent');
    expect(family.now.snapshot.context.language).toBe('es');
  });

  it('changes in the middle by command and keeps everything', () => {
    const family = caregiverOfOne('es');
    family.says('26 meses');
    const { reply, snapshot } = family.says('in english please');
    expect(snapshot.context.language).toBe('en');
    expect(reply.asking).toBe('weight');
    expect(factOf(family.now.case, 'children.c1.ageMonths')).toBe(26);
  });
});

describe('a danger', () => {
  it('is said at once, once, with the talk going on', () => {
    const family = caregiverOfOne();
    for (const text of ['8 months', '18 lb', '27 inches', 'no']) family.says(text);
    const { reply } = family.says('honestly she sits on my lap');
    expect(reply.told).toEqual(['unrestrained']);
    expect(reply.asking).toBe('seat-kind');
    expect(family.heard()).toContain("can't wait");
    expect(family.taps('no-seat').reply.told).toEqual([]);
  });

  it('that a correction lifts is taken back', () => {
    const family = caregiverOfOne();
    for (const text of ['8 months', '18 lb', '27 inches', 'no', 'on my lap']) family.says(text);
    family.says('back');
    family.taps('rear-facing');
    expect(family.heard()).toContain('no longer holds');
  });
});

describe("the caregiver's words", () => {
  it('stand beside what was kept of them, not beside a size the child never had', () => {
    const family = caregiverOfOne();
    const answers = ['9 months', '18 lb', '27 in', 'none', 'rear-facing', 'rear-facing-only'];
    for (const text of [...answers, '4-35 lb, up to 32 inches', 'made May 2025, good for 6 years']) family.says(text);
    const [limits, dates] = family.now.snapshot.context.words.slice(-2);
    expect(limits).toMatchObject({ asking: 'label-limits', text: '4-35 lb, up to 32 inches' });
    expect(Object.keys(limits?.values ?? {}).sort()).toEqual(['maxHeightCm', 'maxWeightKg', 'minWeightKg']);
    expect(limits?.values.maxWeightKg).toBeCloseTo(lbToKg(35));
    expect(dates?.values).toEqual({ manufactureDate: '2025-05', usefulLifeYears: 6 });
    expect(factOf(family.now.case, 'children.c1.weightKg')).toBeCloseTo(lbToKg(18));
  });
});

describe('what a family says', () => {
  it('always makes a valid case and a snapshot that can be read again', () => {
    const family = caregiverOfOne();
    for (const text of ['26 months', '28 lb', '35 in', 'none', 'forward-facing', 'convertible', 'unsure']) {
      family.says(text);
      expect(parseCase(family.now.case).ok).toBe(true);
      expect(readSnapshot(JSON.parse(JSON.stringify(family.now.snapshot))).ok).toBe(true);
    }
  });
});

describe('what the bot cannot use', () => {
  it.each(['you stupid machine', 'nem értem mit akarsz tőlem', 'asdf qwer', '%%%###', 'SHUT UP'])(
    'is met calmly, changes nothing, and leads to choices and to a person: "%s"',
    (words) => {
      const family = caregiverOfOne();
      family.says('2 years');
      const before = family.now.case;
      const keys = [1, 2, 3].map(() => {
        family.says(words);
        return family.now.reply.say[0]?.key;
      });
      expect(keys).toEqual(['say.not-understood', 'say.not-understood-choices', 'say.not-understood-person']);
      expect(family.now.reply.choices.map(({ id }) => id)).toContain('person');
      expect(family.now.case).toEqual(before);
      expect(family.now.reply.asking).toBe('weight');
    },
  );
});
