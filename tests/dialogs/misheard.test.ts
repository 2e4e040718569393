import { describe, expect, it } from 'vitest';
import type { Language } from '#dialogs/understanding/types.ts';
import { type Caregiver, caregiver, caregiverOfOne, until } from './caregiver.ts';

const babyTurnedForward = (language: Language): Caregiver => {
  const family = caregiverOfOne(language);
  family.says('8 months');
  family.says('18 lb');
  family.says('27 in');
  until(family, 'riding-mode', { 'care-needs': 'none' });
  family.taps('forward-facing');
  expect(family.now.reply.told).toEqual(['forward-facing-too-soon']);
  until(family, 'attachment', { 'seat-kind': 'convertible', position: 'p2C' });
  return family;
};

describe('what holds the seat', () => {
  it.each([
    ['en', 'with the seat belt'],
    ['es', 'con el cinturón'],
    ['fr', 'avec la ceinture'],
    ['ar', 'بالحزام'],
    ['vi', 'dây an toàn'],
    ['so', 'suunka gaariga'],
  ] as const)('is no way of riding, and lifts no warning: %s "%s"', (language, words) => {
    const family = babyTurnedForward(language);
    family.says(words);
    expect(family.now.case.uses[0]).toMatchObject({ mode: 'forward-facing', attachment: 'seat-belt' });
    expect(family.now.reply.say.map(({ key }) => key)).not.toContain('say.danger-lifted');
    expect(family.now.snapshot.context.told).toEqual(['forward-facing-too-soon:c1:s1']);
  });
});

describe('how the child rides, said anew in passing', () => {
  it('is read back before it replaces what is known', () => {
    const family = babyTurnedForward('en');
    family.says('actually she rides rear-facing');
    expect(family.now.reply.asking).toBe('confirm');
    expect(family.now.case.uses[0]?.mode).toBe('forward-facing');
    family.says('yes');
    expect(family.now.case.uses[0]?.mode).toBe('rear-facing');
  });
});

describe('the number of children', () => {
  it.each(['just the one', 'one', '1', 'only one child'])('is no age: "%s"', (words) => {
    const family = caregiver();
    family.says('yes');
    family.says(words);
    expect(family.now.reply).toMatchObject({ asking: 'age', child: 'c1' });
    expect(family.now.case.children).toEqual([{ id: 'c1' }]);
  });

  it('is the first number said, beside an age', () => {
    const family = caregiver();
    family.says('yes');
    family.says('two, one is 4');
    expect(family.now.case.children).toHaveLength(2);
  });

  it('has a line in the review, also where it was said in words', () => {
    const family = caregiver();
    family.says('yes');
    family.says('only one');
    until(family, 'review');
    expect(family.heard()).toContain('Children: 1');
  });
});

describe('a nickname', () => {
  it('is no place, although Cali may be short for one', () => {
    const family = caregiver();
    family.says('yes');
    family.taps('2');
    family.says('Cali');
    expect(family.now.case.children[0]?.name).toBe('Cali');
    expect(family.now.case.jurisdiction).toBeUndefined();
  });
});

describe('a danger about a seat', () => {
  it('names the child who sits in it', () => {
    const family = caregiver();
    family.says('yes');
    family.taps('2');
    until(family, 'review', {
      'riding-mode': 'rear-facing',
      'seat-kind': 'convertible',
    });
    family.says('change');
    family.taps('seat-history:c2');
    family.taps('crash');
    family.taps('not-drivable');
    expect(family.now.reply.told).toEqual(['seat-crashed']);
    expect(family.heard()).toContain('after a crash like that');
    const phrase = family.now.reply.say.find(({ key }) => key === 'danger.seat-crashed');
    expect(JSON.stringify(phrase?.values)).toContain('"n":2');
  });
});

describe('a size said anew', () => {
  it('stands alone in the review', () => {
    const family = caregiverOfOne();
    family.says('2 years');
    family.says('28 lb');
    family.says('29 lb');
    until(family, 'review');
    expect(family.heard()).toContain('weight: 29 lb (13.2 kg)');
    expect(family.heard()).not.toContain('28 lb');
  });
});

describe('a bare belt, asked how the child rides', () => {
  it.each([
    ['en', 'seat belt', 'seat-belt'],
    ['es', 'el cinturón', 'seat-belt'],
  ] as const)('is read back: %s "%s"', (language, words, mode) => {
    const family = caregiverOfOne(language);
    family.says('8');
    until(family, 'riding-mode');
    family.says(words);
    expect(family.now.reply.asking).toBe('confirm');
    family.taps('yes');
    expect(family.now.case.uses[0]?.mode).toBe(mode);
  });
});

describe('a yes that says more', () => {
  it.each([
    ['en', 'yes but the seat was in a crash'],
    ['en', 'ok but she rides on my lap'],
    ['es', 'si pero ahora va atras'],
    ['fr', 'ok mais il voyage sur mes genoux'],
    ['ko', '네 근데 카시트 사고났었어요'],
    ['vi', 'ghế hết hạn rồi'],
    ['zh-Hans', '现在坐后排中间'],
  ] as const)('sends nothing from the review: %s "%s"', (language, words) => {
    const family = babyTurnedForward(language);
    until(family, 'review');
    family.says(words);
    expect(family.now.snapshot.value).not.toBe('sent');
  });

  it('sends where it is only a yes', () => {
    const family = babyTurnedForward('en');
    until(family, 'review');
    family.says('yes, all right');
    expect(family.now.snapshot.value).toBe('sent');
  });

  it.each([
    ['en', 'send it please'],
    ['es', 'envíalo'],
    ['ar', 'ارسلها'],
    ['ko', '보내 주세요'],
    ['ru', 'отправляйте'],
  ] as const)('may say "send it" instead: %s "%s"', (language, words) => {
    const family = babyTurnedForward(language);
    until(family, 'review');
    family.says(`${words}`);
    expect(family.now.snapshot.value).toBe('sent');
  });

  it.each([
    ['en', "don't send it"],
    ['vi', 'đừng gửi đi'],
    ['zh-Hans', '别发送'],
    ['fr', "n'envoyez pas"],
    ['ko', '보내지 마세요'],
    ['so', 'ha dirin'],
  ] as const)('is none with a denial: %s "%s"', (language, words) => {
    const family = babyTurnedForward(language);
    until(family, 'review');
    family.says(words);
    expect(family.now.snapshot.value).not.toBe('sent');
  });
});

describe('"I don\'t know" to a value read back', () => {
  it('leaves what was known, and the warning', () => {
    const family = babyTurnedForward('en');
    until(family, 'review');
    family.says('rear-facing now');
    expect(family.now.reply.asking).toBe('confirm');
    family.says("I don't know");
    expect(family.now.case.uses[0]?.mode).toBe('forward-facing');
    expect(family.now.reply.asking).toBe('review');
    expect(family.now.snapshot.context.told).toContain('forward-facing-too-soon:c1:s1');
  });
});

describe('a danger whose facts are taken back', () => {
  it('is not said to be gone while it may still be there', () => {
    const family = babyTurnedForward('en');
    until(family, 'review');
    family.says('change');
    family.taps('riding-mode:c1');
    family.taps('unsure');
    expect(family.now.case.uses[0]?.mode).toBeUndefined();
    expect(family.now.reply.say.map(({ key }) => key)).not.toContain('say.danger-lifted');
  });
});

describe('another language at the consent', () => {
  it.each([
    ['no hablo ingles', 'es'],
    ['Здравствуйте, я не говорю по-английски', 'ru'],
  ] as const)('is offered, and its choice is no consent: "%s"', (words, language) => {
    const family = caregiver('en');
    family.says(words);
    expect(family.now.reply.asking).toBe('language');
    family.taps(language);
    expect(family.now.reply.asking).toBe('consent');
    expect(family.now.snapshot.context).toMatchObject({ language, consented: false });
  });
});

describe('at the review, in free words', () => {
  it.each([
    ['we moved her to the back seat, behind me', 'position', 'p2L'],
    ['the seat was in a crash last year', 'seat-history', 'crash'],
  ])('a new place or the past of the seat is read back: "%s"', (words, question, id) => {
    const family = babyTurnedForward('en');
    until(family, 'review');
    family.says(words);
    expect(family.now.reply.asking).toBe('confirm');
    family.says('yes');
    expect(family.now.snapshot.context.answers.at(-1)).toMatchObject({ question: `${question}:c1`, chosen: [id] });
  });
});

describe('"I don\'t know"', () => {
  it('is met with how to find out, where that can be found out', () => {
    const family = caregiverOfOne();
    family.says('2 years');
    family.says("I don't know");
    expect(family.heard()).toContain('To find out later: A guess is fine.');
    family.says("I don't know");
    expect(family.now.reply.asking).toBe('care-needs');
    family.says("I don't know");
    expect(family.heard()).not.toContain('To find out later');
  });
});

describe('consent', () => {
  it.each([
    ['en', 'go ahead'],
    ['en', 'no problem'],
    ['es', 'acepto'],
    ['fr', "d'accord"],
    ['ht', 'pa gen pwoblèm'],
    ['pt-BR', 'pode'],
    ['ru', 'давайте'],
    ['zh-Hans', '同意'],
    ['ko', '동의합니다'],
    ['tl', 'payag ako'],
    ['vi', 'đồng ý'],
    ['ar', 'موافق'],
    ['so', 'waan ogolahay'],
  ] as const)('is given in the words people agree with: %s "%s"', (language, words) => {
    const family = caregiver(language);
    family.says(words);
    expect(family.now.reply.asking).toBe('child-count');
  });

  it.each(['no', 'no thanks', 'fine, but do not send it to anyone'])('is not given by "%s"', (words) => {
    const family = caregiver('en');
    family.says(words);
    expect(family.now.snapshot.context.consented).toBe(false);
  });
});
