import { describe, expect, it } from 'vitest';
import type { Language } from '#dialogs/understanding/types.ts';
import { lbToKg } from '#shared/units.ts';
import { type Caregiver, caregiver, until } from './caregiver.ts';

const consented = (language: Language = 'en'): Caregiver => {
  const family = caregiver(language);
  family.taps('yes');
  return family;
};

const told = (family: Caregiver) =>
  family.now.case.children.map(({ name, ageMonths, weightKg, heightCm }) => ({ name, ageMonths, weightKg, heightCm }));

/** Two children told of by their ages alone, each language in words of its own: four years, and eight months. */
const FOUR_AND_EIGHT_MONTHS: Readonly<Record<Language, string>> = {
  en: 'my son is 4 and my daughter is 8 months old',
  es: 'tengo dos, el mayor tiene 4 años y la chiquita 8 meses',
  'zh-Hans': '老大四岁，小的八个月',
  vi: 'bé lớn 4 tuổi, bé nhỏ 8 tháng',
  ar: 'بنتي عمرها ٤ سنين وولدي عمره ٨ شهور',
  fr: 'le grand a 4 ans et la petite a 8 mois',
  ht: 'youn gen 4 an, lòt la gen 8 mwa',
  'pt-BR': 'o mais velho tem 4 anos e a mais nova 8 meses',
  ru: 'сыну 4 года, дочке 8 месяцев',
  ko: '큰애는 4살이고 작은애는 8개월이에요',
  tl: 'yung panganay 4 na taon, yung bunso 8 buwan',
  so: 'mid waa 4 sano jir, tan yar waa 8 bilood',
};

describe('a message that tells of several children', () => {
  it.each(Object.entries(FOUR_AND_EIGHT_MONTHS))(
    'by their ages gives each its own, read back first (%s)',
    (tag, words) => {
      const family = consented(tag as Language);
      family.says(words);
      expect(family.now.reply.asking).toBe('confirm');
      family.taps('yes');
      expect(told(family).map(({ ageMonths }) => ageMonths)).toEqual([{ min: 48, max: 59 }, 8]);
    },
  );

  it('counts twins as two of the same age', () => {
    const family = consented();
    family.says('three. twins who are 14 months and a 5 year old');
    family.taps('yes');
    expect(told(family).map(({ ageMonths }) => ageMonths)).toEqual([14, 14, { min: 60, max: 71 }]);
  });

  it('takes no number of years for a number of children', () => {
    const family = consented('fr');
    family.says('ma fille a deux ans et mon fils a trois ans');
    family.taps('yes');
    expect(told(family).map(({ ageMonths }) => ageMonths)).toEqual([
      { min: 24, max: 35 },
      { min: 36, max: 47 },
    ]);
  });

  it('takes names from it where each child plainly has one', () => {
    const family = consented();
    family.says('I have two kids, Mia is 3 and Leo is 6 weeks old');
    expect(family.heard()).toContain('Mia');
    family.taps('yes');
    expect(told(family).map(({ name }) => name)).toEqual(['Mia', 'Leo']);
  });

  it.each([
    ['ar', 'مريم ويوسف', ['مريم', 'يوسف']],
    ['ar', 'وليد ومريم', ['وليد', 'مريم']],
    ['zh-Hans', '小美和小明', ['小美', '小明']],
    ['ko', '민수하고 지호', ['민수', '지호']],
    ['ko', '지호와 민수', ['지호', '민수']],
    ['tl', 'Mia at Leo', ['Mia', 'Leo']],
  ] as const)('hears two names where the "and" is written onto one of them (%s: %s)', (tag, words, names) => {
    const family = consented(tag);
    family.taps('2');
    family.says(words);
    expect(told(family).map(({ name }) => name)).toEqual(names);
  });

  it('asks for the names one by one once the ages are known, so that they cannot be mixed up', () => {
    const family = consented();
    family.says('a 3 year old and a newborn, 6 weeks');
    family.taps('yes');
    expect(told(family).map(({ ageMonths }) => ageMonths)).toEqual([{ min: 36, max: 47 }, 1]);
    expect(family.now.reply.asking).toBe('child-name');
    expect(family.heard()).toContain('3 years');
    family.says('Mia');
    expect(family.now.reply.child).toBe('c1');
  });

  it('gives the figures beside a name to the child of that name, whatever child was asked about', () => {
    const family = consented();
    for (const words of ['2', 'Mia and Leo', '3 years']) family.says(words);
    family.says('Mia is 33 lbs and 38 in. Leo is 6 weeks, 10 lb 4 oz');
    const [mia, leo] = told(family);
    expect(mia?.weightKg).toBeCloseTo(lbToKg(33));
    expect(mia?.heightCm).toBeCloseTo(38 * 2.54);
    expect(leo?.ageMonths).toEqual(1);
    expect(leo?.weightKg).toBeCloseTo(lbToKg(10.25));
    expect(family.heard()).toMatch(/Mia: .*33 lb.*\nLeo: /);
  });

  it('reads names after their figures as well as before them', () => {
    const family = consented();
    for (const words of ['2', 'Mia and Leo', '3 years']) family.says(words);
    family.says('33 lb mia 24 lb leo');
    expect(told(family).map(({ weightKg }) => weightKg && Math.round(Number(weightKg) / 0.45359237))).toEqual([33, 24]);
  });

  it('keeps for the technician what was read of each child', () => {
    const family = consented();
    for (const words of ['2', 'Mia and Leo', '3 years']) family.says(words);
    family.says('Mia is 33 lb, Leo is 24 lb');
    const { values } = family.now.snapshot.context.words.at(-1) ?? {};
    expect(values).toEqual({
      c1: { weightKg: expect.closeTo(lbToKg(33)) },
      c2: { weightKg: expect.closeTo(lbToKg(24)) },
    });
  });

  it('leaves alone the age that is known already, whatever two figures are said for the next', () => {
    const family = consented();
    for (const words of ['2', 'no name needed', '3 years']) family.says(words);
    const known = told(family)[0]?.ageMonths;
    expect(known).toEqual({ min: 36, max: 47 });
    for (let turns = 0; turns < 9 && family.now.reply.child !== 'c2'; turns++)
      family.taps(family.now.reply.choices.at(-1)?.id ?? '');
    family.says('14 months or 15 months');
    if (family.now.reply.asking === 'confirm') family.taps('yes');
    expect(told(family)[0]?.ageMonths).toEqual(known);
  });

  it('gives nobody a figure where it is not clear whose it is', () => {
    const family = consented();
    for (const words of ['2', 'Mia and Leo', '3 years']) family.says(words);
    family.says('33 lb, mia. 24 lb, leo');
    expect(told(family)[1]?.weightKg).toBeUndefined();
  });

  it('hears no second child where only one is told of', () => {
    const family = consented();
    family.says('just one, my daughter is 2 years and 4 months');
    expect(told(family)).toHaveLength(1);
    expect(told(family)[0]?.ageMonths).toBe(28);
  });
});

describe('what is said while something else is read back', () => {
  it('is taken, and the read-back stands until it is answered', () => {
    const family = consented();
    family.says('1');
    family.says('3 years');
    family.says('33 kg');
    expect(family.now.reply.asking).toBe('confirm');
    family.says('he is 38 inches tall');
    expect(told(family)[0]?.heightCm).toBeCloseTo(38 * 2.54);
    expect(family.now.reply.asking).toBe('confirm');
  });
});

describe('what is said of something not asked yet', () => {
  it('is read back instead of lost', () => {
    const family = consented();
    for (const words of ['1', '3 years', '33 lb', '38 in', 'healthy', 'forward facing']) family.says(words);
    expect(family.now.reply.asking).toBe('seat-kind');
    family.says('it wiggles a lot');
    expect(family.now.reply.asking).toBe('confirm');
    family.taps('yes');
    expect(family.now.case.uses[0]?.movementCm).toBeDefined();
    expect(family.now.reply.asking).toBe('seat-kind');
  });

  it('turns no way of riding into another: the belt that holds the seat is not the belt alone', () => {
    const family = consented('es');
    for (const words of ['1', '3 años', '33 libras', '38 pulgadas', 'está sano', 'mirando hacia adelante con arnés'])
      family.says(words);
    until(family, 'seat-history');
    family.says('con el cinturón');
    if (family.now.reply.asking === 'confirm') family.taps('yes');
    expect(family.now.case.uses[0]?.mode).toBe('forward-facing');
  });
});
