import { describe, expect, it } from 'vitest';
import { LANGUAGES, type Language } from '#dialogs/understanding/types.ts';
import { KG_PER_LB } from '#shared/units.ts';
import { read } from './sets.ts';

/** Ages set against each other, # the other child's and ## this one's; messages of our own. */
const AGES: Readonly<Record<Language, string>> = {
  en: 'big sister is #, this one is ##',
  es: 'la grande tiene # y el de la silla ## años',
  'zh-Hans': '姐姐#岁，坐这个座椅的##岁',
  vi: 'chị nó # tuổi, còn bé này ## tuổi',
  ar: 'اخته # سنين وهذا ## سنين',
  fr: 'la grande a # ans, celui du siège a ## ans',
  ht: 'gran sè a gen # an, timoun sa a gen ## an',
  'pt-BR': 'o mais velho tem #, essa da cadeirinha tem ## anos',
  ru: 'старшему # лет, а этому ## года',
  ko: '누나는 #살이고 이 아이는 ##살이에요',
  tl: 'ang ate # na, etong isa ## taon',
  so: 'walaalkiis waa # jir, kan waa ## jir',
};

describe('two children set against each other', () => {
  it.each(LANGUAGES)('give the age of the one that is pointed at: %s', (language) => {
    for (const other of [6, 7, 9])
      for (const own of [2, 3]) {
        const text = AGES[language].replace('##', String(own)).replace('#', String(other));
        const { values, confidence } = read(language, 'age', text);
        // What is not understood must at least be asked back.
        if (confidence === 'sure') expect(values, text).toEqual({ ageMonths: [own * 12, own * 12 + 11] });
        else expect(values.ageMonths?.[0] ?? own * 12, text).not.toBe(other * 12);
      }
  });

  it.each([
    ['en', 'little sister is 20 lbs, big brother is 32'],
    ['zh-Hans', '妹妹20磅，哥哥32'],
    ['ko', '동생은 20파운드고 큰애는 32예요'],
  ] as const)('give the weight that the growth references allow at this age: %s', (language, text) => {
    const { values, confidence } = read(language, 'weight', text, 34);
    expect(values.weightKg).toBeCloseTo(32 * KG_PER_LB, 6);
    expect(confidence).toBe('sure');
  });

  it('is never settled where both weights may be', () => {
    expect(read('en', 'weight', 'one twin is 30 lbs, the other 32', 34).confidence).not.toBe('sure');
  });
});

describe('a date said of the seat', () => {
  it.each([
    ['en', 'the seat is from March 2019'],
    ['es', 'la silla es de marzo 2019'],
    ['zh-Hans', '座椅是2019年3月的'],
    ['vi', 'ghế là tháng 3 năm 2019'],
    ['fr', 'le siège date de mars 2019'],
    ['pt-BR', 'a cadeirinha é de março de 2019'],
    ['ru', 'кресло марта 2019'],
    ['ko', '카시트는 2019년 3월이에요'],
    ['tl', 'March 2019 ang car seat'],
    ['so', 'kursigu waa Maarso 2019'],
  ] as const)('is its manufacture, never a birth: %s %s', (language, text) => {
    expect(read(language, null, text).values).toEqual({ date: '2019-03' });
  });
});

describe('what a seat is not for', () => {
  it.each([
    ['en', "forward facing with a 5 point harness, can't be used as a booster and can't go backwards"],
    ['es', 'mira al frente con arnés, no se puede usar como booster'],
    ['fr', 'uniquement face à la route avec harnais, on peut pas en faire un rehausseur'],
    ['zh-Hans', '只能朝前、五点式，不能当增高垫'],
    ['pt-BR', 'virada pra frente com 5 pontos, não dá pra usar como booster'],
    ['ru', 'только лицом вперед с пятиточечными ремнями, как бустер использовать нельзя'],
  ] as const)('is not taken for what it does: %s %s', (language, text) => {
    const { values, confidence } = read(language, 'seat-kind', text);
    if (confidence === 'sure') expect(values.seatKind).toBe('forward-facing-harness');
    else expect(['forward-facing-harness', undefined]).toContain(values.seatKind);
  });
});

describe('a birthday and a year in words of their own', () => {
  it.each([
    ['es', 'cumple años el 14 de febrero, nació en el 2022'],
    ['en', 'her birthday is the 14th of February, she was born in 2022'],
    ['fr', 'son anniversaire est le 14 février, née en 2022'],
    ['pt-BR', 'faz aniversário dia 14 de fevereiro, nasceu em 2022'],
  ] as const)('make one date of birth: %s %s', (language, text) => {
    expect(read(language, 'age', text)).toEqual({ values: { birthDate: '2022-02-14' }, confidence: 'sure' });
  });
});

describe("the seat's own weight", () => {
  it.each([
    ['es', 'la pura silla pesa 18 libras, el niño 22 libras'],
    ['fr', "rien que le siège fait 18 livres, le petit c'est 22 livres"],
    ['pt-BR', 'só a cadeirinha pesa 18 libras, o bebê tá com 22 libras'],
    ['ar', 'الكرسي لحاله وزنه ١٨ رطل بس البيبي ٢٢ رطل'],
  ] as const)("is not the child's: %s %s", (language, text) => {
    const { values, confidence } = read(language, 'weight', text, 14);
    expect(values.weightKg).toBeCloseTo(22 * KG_PER_LB, 6);
    expect(confidence).toBe('sure');
  });
});

describe('a year in two digits said one by one', () => {
  it.each([
    ['二三年四月', '2023-04'],
    ['一九年十二月', '2019-12'],
  ])('is a whole year: %s', (text, date) => {
    expect(read('zh-Hans', 'date', text)).toEqual({ values: { date }, confidence: 'sure' });
  });
});

describe('one centimetre behind a metre', () => {
  it.each([
    ['pt-BR', 'um metro e um'],
    ['es', 'un metro y uno'],
    ['fr', 'un mètre et un'],
  ] as const)('is never left out: %s %s', (language, text) => {
    const { values, confidence } = read(language, 'height', text, 47);
    expect(confidence === 'sure' ? values.heightCm : 101).toBe(101);
  });
});
