import { describe, expect, it } from 'vitest';
import { standing } from '#dialogs/conversation.ts';
import { summaryOf } from '#src/turns/summary.ts';
import { type Caregiver, caregiver, caregiverOfOne, until } from './caregiver.ts';

const family = (children: string): Caregiver => {
  const self = caregiver();
  self.says('yes');
  self.says(children);
  return self;
};

describe('several children', () => {
  it('are named in one message, and each is asked about by name', () => {
    const self = family('two');
    self.says('Leo and Mia');
    expect(self.now.case.children.map(({ name }) => name)).toEqual(['Leo', 'Mia']);
    expect(self.heard()).toContain('How old is Leo?');
  });

  it.each([['Leo, Mia and Sam'], ['Leo, Mia, Sam'], ['Leo\nMia\nSam'], ['Leo & Mia & Sam']])(
    'are told apart however the names are parted: %j',
    (names) => {
      const self = family('3');
      self.says(names);
      expect(self.now.case.children.map(({ name }) => name)).toEqual(['Leo', 'Mia', 'Sam']);
    },
  );

  it('named one by one are asked for one by one', () => {
    const self = family('2');
    self.says('Mary Ann');
    expect(self.heard()).toContain('How old is Mary Ann?');
    until(self, 'child-name');
    expect(self.now.reply.child).toBe('c2');
  });

  it('may be spoken of while another one is asked about', () => {
    const self = family('2');
    self.says('Leo, Mia');
    for (const words of ['4 years', '38 lb', '40 in']) self.says(words);
    until(self, 'age');
    expect(self.now.reply.child).toBe('c2');
    self.says('Leo weighs 39 lb');
    expect(self.now.case.children[0]?.weightKg).toBeCloseTo(17.69, 2);
    expect(self.now.case.children[1]?.weightKg).toBeUndefined();
    expect(self.now.reply).toMatchObject({ asking: 'age', child: 'c2' });
  });

  it('corrected at the review keep their own facts', () => {
    const self = family('2');
    self.says('Leo, Mia');
    for (const words of ['4 years, 38 lb, 40 in']) self.says(words);
    until(self, 'age');
    self.says('2 years, 27 lb, 34 in');
    until(self, 'review');
    self.says('Mia weighs 28 lb');
    expect(self.now.case.children.map(({ weightKg }) => Math.round(Number(weightKg)))).toEqual([17, 13]);
  });

  it('are named when a value is read back, and one not named is asked about', () => {
    const self = family('2');
    self.says('Leo, Mia');
    self.says('4 years, 38 lb, 40 in');
    until(self, 'age');
    self.says('2 years, 27 lb, 34 in');
    until(self, 'review');
    self.says('28 lb');
    expect(self.now.reply.asking).toBe('confirm');
    expect(self.heard()).toContain('Leo: 28 lb');
    self.says('no');
    expect(self.now.case.children[0]?.weightKg).toBeCloseTo(17.24, 2);
    expect(self.now.reply.asking).toBe('review');
  });

  it.each([
    ['en', 'both are 3'],
    ['en', 'they are both 3 years old, 33 lb'],
    ['es', 'los dos tienen 3 años'],
    ['zh-Hans', '两个都是3岁'],
    ['vi', 'cả hai đều 3 tuổi'],
    ['ar', 'كلاهما عمره 3 سنوات'],
    ['fr', 'les deux ont 3 ans'],
    ['ht', 'yo toulède gen 3 an'],
    ['pt-BR', 'ambos têm 3 anos'],
    ['ru', 'обоим по 3 года'],
    ['ko', '둘 다 3살이에요'],
    ['tl', '3 taon silang dalawa'],
    ['so', 'labadooduba waa 3 sano jir'],
  ] as const)('are of one age where that is said of both: %s, %s', (language, words) => {
    const self = caregiver(language);
    self.taps('yes');
    self.taps('2');
    self.says('Leo, Mia');
    self.says(words);
    expect(self.heard()).toMatch(/Leo.*\nMia/);
    if (self.now.reply.asking === 'confirm') self.taps('yes');
    expect(self.now.case.children.map(({ ageMonths }) => ageMonths)).toEqual([
      { min: 36, max: 47 },
      { min: 36, max: 47 },
    ]);
    expect(self.now.case.children[1]?.weightKg).toBeUndefined();
  });

  it('are not of one age where "both" could mean any two of three', () => {
    const self = family('3');
    self.says('Leo, Mia, Ana');
    self.says('both are 3');
    expect(self.now.case.children.map(({ ageMonths }) => ageMonths ?? null)).toEqual([
      { min: 36, max: 47 },
      null,
      null,
    ]);
  });

  it.each([
    ['en', 'no-name'],
    ['en', 'No name, please'],
    ['es', 'sin nombre'],
    ['zh-Hans', '不用名字'],
    ['vi', 'không cần tên'],
    ['ar', 'بدون اسم'],
    ['fr', 'pas de nom'],
    ['ht', 'san non'],
    ['pt-BR', 'sem nome'],
    ['ru', 'без имени'],
    ['ko', '이름 없이'],
    ['tl', 'walang pangalan'],
    ['so', "magac la'aan"],
  ] as const)('need no name, and the words that say so are none: %s, %s', (language, words) => {
    const self = caregiver(language);
    self.taps('yes');
    self.taps('2');
    expect(self.now.reply.asking).toBe('child-name');
    self.says(words);
    expect(self.now.case.children.map(({ name }) => name ?? null)).toEqual([null, null]);
    expect(self.now.reply.asking).toBe('age');
  });

  it('are offered no place where another child sits, and asked once more where one is named all the same', () => {
    const self = family('2');
    self.says('Leo, Mia');
    until(self, 'position', { 'riding-mode': 'rear-facing' });
    expect(self.now.reply.choices.map(({ id }) => id)).toContain('p2L');
    self.taps('p2L');
    until(self, 'position', { 'riding-mode': 'rear-facing' });
    expect(self.now.reply.child).toBe('c2');
    expect(self.now.reply.choices.map(({ id }) => id)).not.toContain('p2L');
    for (const words of ['behind the driver', 'p2L']) {
      self.says(words);
      expect(self.now.reply.asking).toBe('confirm');
      self.says('no');
      expect(self.now.reply.asking).toBe('position');
    }
    self.says('p2L');
    self.says('yes');
    expect(self.now.case.uses.map(({ positionId }) => positionId)).toEqual(['p2L', 'p2L']);
  });

  it('are two where they are twins', () => {
    expect(family('twins').now.case.children).toHaveLength(2);
  });
});

describe('everything in one breath', () => {
  it('asks for nothing that was told', () => {
    const self = caregiverOfOne();
    self.says('2 years, 28 lb, 35 in');
    expect(self.now.reply.asking).toBe('care-needs');
    self.taps('none');
    self.says('rear-facing in a convertible');
    expect(self.now.reply.asking).toBe('label-limits');
    self.says('5-40 lb, up to 43 in, made 2024-03, expires 2034-03');
    expect(self.now.case.seats[0]).toMatchObject({ manufactureDate: '2024-03', expiryDate: '2034-03' });
    expect(self.now.reply.asking).toBe('seat-history');
    self.taps('new');
    self.says('behind the driver, with the lower anchors');
    expect(self.now.case.uses[0]).toMatchObject({ positionId: 'p2L', attachment: 'lower-anchors' });
    expect(self.now.reply.asking).toBe('vehicle-hardware');
    self.taps('none');
    until(self, 'vehicle');
    self.says('2014 van, Texas');
    expect(self.now.case).toMatchObject({ jurisdiction: 'US-TX', vehicle: { modelYear: 2014 } });
  });

  it('reads the least age of a label as a limit, not as the life of the seat', () => {
    const self = caregiverOfOne();
    self.says('3 years, 33 lb, 38 in');
    self.taps('none');
    self.says('in a booster');
    until(self, 'label-limits', { 'seat-kind': 'booster' });
    self.says('40-100 lb, 43-57 in, at least 4 years old');
    expect(self.now.case.seats[0]?.modes?.booster?.minAgeMonths).toBe(48);
    expect(self.now.case.seats[0]?.usefulLifeYears).toBeUndefined();
    expect(self.now.reply.told).toContain('under-minimum');
  });
});

describe('limits of another direction than the one asked about', () => {
  it('are those of the direction named', () => {
    const self = caregiverOfOne();
    self.says('2 years, 28 lb, 35 in');
    self.taps('none');
    self.says('forward-facing in a convertible');
    expect(self.now.reply).toMatchObject({ asking: 'label-limits', mode: 'forward-facing' });
    self.says('rear-facing 5 to 40 lb, up to 43 in');
    expect(Object.keys(self.now.case.seats[0]?.modes ?? {})).toEqual(['rear-facing']);
    expect(self.now.reply).toMatchObject({ asking: 'label-limits', mode: 'forward-facing' });
  });
});

describe('a list of which one thing is denied', () => {
  it('settles that thing alone', () => {
    const self = caregiverOfOne();
    self.says('2 years, 28 lb, 35 in');
    until(self, 'harness-check', { 'riding-mode': 'rear-facing', 'seat-kind': 'convertible', position: 'p2C' });
    self.says('no coat');
    expect(self.now.case.uses[0]?.harness).toEqual({ bulkyClothing: false });
    self.says('back');
    self.says('no');
    expect(self.now.case.uses[0]?.harness).toMatchObject({ bulkyClothing: false, pinchable: false });
  });
});

describe('words that sound like a command', () => {
  it.each([
    ['es', 'atrás del conductor', 'p2L'],
    ['en', 'back left', 'p2L'],
  ] as const)('are a place where a place is asked: %s "%s"', (language, words, place) => {
    const self = caregiverOfOne(language);
    self.says('8');
    until(self, 'position', { 'riding-mode': 'booster', 'seat-kind': 'booster' });
    self.says(words);
    expect(self.now.case.uses[0]?.positionId).toBe(place);
  });

  it.each([
    ['es', 'atrás'],
    ['en', 'in the back'],
    ['zh-Hans', '后排'],
  ] as const)('are no step back where a place is asked, and the side is asked for: %s "%s"', (language, words) => {
    const self = caregiverOfOne(language);
    self.says('8');
    until(self, 'position', { 'riding-mode': 'booster', 'seat-kind': 'booster' });
    const before = self.now.snapshot.context.answers.length;
    self.says(words);
    expect(self.now.reply.asking).toBe('position');
    expect(self.now.snapshot.context.answers).toHaveLength(before);
  });

  it('are a name where a name is asked', () => {
    const self = caregiver('ko');
    self.says('네');
    self.taps('2');
    self.says('지우');
    expect(self.now.case.children[0]?.name).toBe('지우');
  });
});

describe('a question for a telephone number', () => {
  it('holds nobody up', () => {
    const self = caregiverOfOne();
    self.says('person');
    self.says('right here please');
    expect(self.now.reply.done).toBe(true);
  });
});

describe('a child still to be born', () => {
  it('has no size and rides nowhere; the seat and the day it is due are asked for', () => {
    const self = caregiverOfOne();
    self.taps('unborn');
    expect(self.now.reply.asking).toBe('due-date');
    self.says('July 2026');
    expect(self.now.reply.asking).toBe('seat-kind');
    self.taps('rear-facing-only');
    const asked = new Set<string>();
    for (let turns = 0; turns < 30 && self.now.reply.asking !== 'review'; turns++) {
      asked.add(self.now.reply.asking ?? '');
      self.taps('unsure');
    }
    for (const question of ['weight', 'height', 'riding-mode', 'position', 'harness-check'])
      expect(asked).not.toContain(question);
    expect(self.heard()).toContain('age: Not born yet');
    expect(self.heard()).toContain('Baby due: due July 2026');
    self.says('yes');
    const summary = summaryOf(standing(self.now.snapshot), {
      channel: 'terminal',
      createdAt: '2026-05-16T12:00:00.000Z',
    });
    expect(summary.notes).toBe('c1: not born yet, due 2026-07');
    expect(summary.assessment.findings.map(({ code }) => code)).not.toContain('unrestrained');
    expect(summary.assessment.children[0]?.advice.mode).toBe('rear-facing');
  });
});

describe('words of a birth to come', () => {
  it.each([
    ['en', 'she is due in June'],
    ['en', "I'm pregnant, 32 weeks"],
    ['en', 'not born yet'],
    ['es', 'todavía no nace'],
    ['fr', 'pas encore né'],
    ['zh-Hans', '还没出生'],
    ['ru', 'ещё не родился'],
  ] as const)('make the child one still to be born: %s "%s"', (language, words) => {
    const self = caregiverOfOne(language);
    self.says(words);
    expect(self.now.reply.asking).toBe('due-date');
    expect(self.now.assessment.findings).toEqual([]);
  });
});

describe('a seat in another car', () => {
  it.each([["we also use a seat in grandma's car"], ["there is a booster in grandma's car too"]])(
    'goes to the technician as a note and overwrites nothing: %s',
    (words) => {
      const self = caregiverOfOne();
      self.says('2 years, 28 lb, 35 in');
      self.taps('none');
      self.taps('rear-facing');
      self.taps('convertible');
      const before = self.now.case;
      self.says(words);
      expect(self.now.case).toEqual(before);
      expect(self.heard()).toContain('pass that on');
      expect(self.now.reply.asking).toBe('label-limits');
      expect(self.now.snapshot.context.notes).toEqual([words]);
    },
  );

  it('is no second one where the car itself is asked for', () => {
    const self = caregiverOfOne();
    until(self, 'vehicle', { 'riding-mode': 'booster', 'seat-kind': 'booster' });
    self.says("grandma's car, a 2014 van");
    expect(self.now.case.vehicle?.modelYear).toBe(2014);
  });
});

describe('a child without a seat', () => {
  it('is asked nothing about a seat', () => {
    const self = caregiverOfOne();
    self.says('2 years, 28 lb, 35 in');
    self.taps('none');
    self.taps('none');
    expect(self.now.reply.told).toEqual(['unrestrained']);
    self.taps('no-seat');
    expect(self.now.reply.asking).toBe('vehicle');
  });
});

describe('a child with special needs', () => {
  it('is commended to its clinician, once', () => {
    const self = caregiverOfOne();
    self.says('2 years, 28 lb, 35 in');
    self.taps('medical');
    expect(self.heard()).toContain("ask your child's clinician");
    self.taps('rear-facing');
    expect(self.heard()).not.toContain('clinician');
  });
});

describe('a correction by figures alone', () => {
  it('corrects what was just said, in its unit, and is read back', () => {
    const self = caregiverOfOne();
    self.says('3 years');
    self.says('38 lb');
    self.says('sorry, 33 not 38');
    expect(self.now.reply.asking).toBe('confirm');
    expect(self.heard()).toContain('33 lb (15 kg)');
    self.says('yes');
    expect(self.now.case.children[0]?.weightKg).toBeCloseTo(14.97, 2);
    expect(self.now.case.children[0]?.heightCm).toBeUndefined();
    expect(self.now.reply.asking).toBe('height');
  });

  it('works in any order and language, and is not heard where no figure was said before', () => {
    const self = caregiverOfOne('es');
    self.says('3 años');
    self.says('17 kg');
    self.says('17 no, 15');
    expect(self.now.reply.asking).toBe('confirm');
    self.says('sí');
    expect(self.now.case.children[0]?.weightKg).toBe(15);
  });
});
