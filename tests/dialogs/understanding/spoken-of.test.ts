import { describe, expect, it } from 'vitest';
import { LANGUAGES, type Language } from '#dialogs/understanding/types.ts';
import { read } from './sets.ts';

/** A grown-up's weight and the child's; messages of our own. # is the child's. */
const ON_THE_SCALE: Readonly<Record<Language, string>> = {
  en: 'me 70 kilos, him # kilos',
  es: 'yo 70 kilos y el niño # kilos',
  'zh-Hans': '我70公斤，孩子#公斤',
  vi: 'tôi 70 ký còn bé # ký',
  ar: 'انا ٧٠ كيلو وابني # كيلو',
  fr: 'moi 70 kilos, lui # kilos',
  ht: 'mwen menm 70 kilo, ti gason an # kilo',
  'pt-BR': 'eu 70 quilos e ele # quilos',
  ru: 'я 70 кг, а сын # кг',
  ko: '저는 70킬로고 아이는 #킬로예요',
  tl: 'ako 70 kilos, yung anak ko # kilos',
  so: 'anigu waa 70 kiilo, wiilkuna waa # kiilo',
};

describe("a grown-up's weight beside the child's", () => {
  it.each(LANGUAGES)('is never taken for it: %s', (language) => {
    for (const own of [13, 14.5, 16]) {
      const text = ON_THE_SCALE[language].replace('#', String(own));
      expect(read(language, 'weight', text, 37), text).toEqual({ values: { weightKg: own }, confidence: 'sure' });
    }
  });
});

describe('a niece, a nephew', () => {
  it.each([
    ['en', 'my nephew is 2 months old and weighs 5 kg'],
    ['es', 'mi sobrino tiene 2 meses y pesa 5 kg'],
    ['fr', 'mon neveu a 2 mois et pèse 5 kg'],
    ['pt-BR', 'meu sobrinho tem 2 meses e pesa 5 kg'],
    ['ru', 'племяннику 2 месяца, весит 5 кг'],
    ['ko', '조카가 2개월이고 5kg이에요'],
    ['tl', 'pamangkin ko 2 buwan, 5 kg'],
    ['ht', 'neve m gen 2 mwa, li peze 5 kg'],
  ] as const)('is the child where no other is named: %s %s', (language, text) => {
    expect(read(language, null, text)).toEqual({ values: { ageMonths: [2, 2], weightKg: 5 }, confidence: 'sure' });
  });

  it('is another child beside one of the family', () => {
    const { values, confidence } = read('en', 'weight', 'my nephew is 40 lb, my son is 31 lb', 40);
    expect(confidence === 'sure' ? values.weightKg : 31 * 0.45359237).toBeCloseTo(31 * 0.45359237, 6);
  });
});

describe('a car sold', () => {
  it.each([
    ['en', 'we sold the 2005, now we have a 2018'],
    ['en', 'the 2018, not the old 2005'],
    ['es', 'vendimos la 2005, ahora traemos una 2018'],
    ['zh-Hans', '旧的2005年那辆卖了，现在开2018的'],
    ['vi', 'chiếc 2005 bán rồi, giờ chạy đời 2018'],
    ['ar', 'بعنا القديمة موديل ٢٠٠٥ وهلأ معنا ٢٠١٨'],
    ['fr', "celle de 2005 est vendue, maintenant c'est une 2018"],
    ['ht', 'nou te vann 2005 la, kounye a nou gen yon 2018'],
    ['pt-BR', 'o de 2005 vendemos, agora temos um 2018'],
    ['ru', 'старую 2005 продали, сейчас 2018'],
    ['ko', '2005년식은 팔고 지금은 2018년식 타요'],
    ['tl', 'nabenta na yung 2005, 2018 na gamit namin'],
    ['so', 'kii 2005 waan iibinay, hadda waxaan haysannaa 2018'],
  ] as const)('is not the one: %s %s', (language, text) => {
    expect(read(language, 'vehicle', text)).toEqual({ values: { vehicleYear: 2018 }, confidence: 'sure' });
  });
});

describe('a figure mistyped', () => {
  it.each([
    ['en', "i typed 43 but it's 34 lbs"],
    ['es', 'puse 43 pero son 34 libras'],
    ['vi', 'hồi nãy ghi 43 sai rồi, 34 pounds'],
    ['fr', "j'ai tapé 43, c'est 34 livres"],
    ['ht', 'm ekri 43 men se 34 liv'],
    ['pt-BR', 'digitei 43 errado, são 34 libras'],
  ] as const)('gives way to the one meant: %s %s', (language, text) => {
    const { values, confidence } = read(language, 'weight', text, 40);
    expect(values.weightKg).toBeCloseTo(34 * 0.45359237, 6);
    expect(confidence).toBe('sure');
  });
});
