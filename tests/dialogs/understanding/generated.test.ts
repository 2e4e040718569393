import { describe, expect, it } from 'vitest';
import { type AskedSlot, LANGUAGES, type Language } from '#dialogs/understanding/types.ts';
import { CM_PER_IN, KG_PER_LB } from '#shared/units.ts';
import { reader } from './sets.ts';
import { spell } from './spelling.ts';

interface Words {
  readonly pounds: readonly string[];
  readonly kilos: readonly string[];
  readonly inches: readonly string[];
  readonly centimetres: readonly string[];
  readonly years: readonly string[];
  readonly months: readonly string[];
  readonly half: string;
  /** Ways to frame an answer; # is the quantity. */
  readonly frames: readonly string[];
  /** A range of two numbers, # and ##. */
  readonly range: string;
}

const list = (text: string): string[] => text.split('|');

const WORDS: Readonly<Record<Language, Words>> = {
  en: { pounds: list('pounds|lbs|lb'), kilos: list('kilos|kg'), inches: list('inches|in'), centimetres: list('cm|centimeters'), years: list('years old|yrs|years'), months: list('months|mos'), half: 'and a half', frames: list('#|about #|hes #|she is around # i think|# give or take'), range: 'between # and ##' },
  es: { pounds: list('libras|lbs'), kilos: list('kilos|kg'), inches: list('pulgadas'), centimetres: list('cm|centímetros'), years: list('años|anos'), months: list('meses'), half: 'y medio', frames: list('#|como #|más o menos #|creo que #|# aprox'), range: 'entre # y ##' },
  'zh-Hans': { pounds: list('磅'), kilos: list('公斤|千克|kg'), inches: list('英寸'), centimetres: list('厘米|公分|cm'), years: list('岁'), months: list('个月'), half: '半', frames: list('#|大概#|差不多#吧|#左右|现在#'), range: '#到##' },
  vi: { pounds: list('pao|pound|lbs'), kilos: list('ký|kí|kg|cân'), inches: list('inch|in'), centimetres: list('cm|phân'), years: list('tuổi|tuoi'), months: list('tháng'), half: 'rưỡi', frames: list('#|khoảng #|bé được #|tầm # ạ|chắc #'), range: 'từ # đến ##' },
  ar: { pounds: list('رطل|باوند'), kilos: list('كيلو|كغ|كجم'), inches: list('انش|بوصة'), centimetres: list('سم|سنتيمتر'), years: list('سنة|سنين'), months: list('شهر|شهور'), half: 'ونص', frames: list('#|تقريبا #|حوالي #|يمكن #'), range: 'بين # و ##' },
  fr: { pounds: list('livres|lbs'), kilos: list('kilos|kg'), inches: list('pouces'), centimetres: list('cm|centimètres'), years: list('ans'), months: list('mois'), half: 'et demi', frames: list('#|environ #|à peu près #|je dirais #|# je crois'), range: 'entre # et ##' },
  ht: { pounds: list('liv|lb'), kilos: list('kilo|kg'), inches: list('pous'), centimetres: list('santimèt|cm'), years: list('an'), months: list('mwa'), half: 'edmi', frames: list('#|anviwon #|apeprè #|# konsa|m kwè #'), range: 'ant # ak ##' },
  'pt-BR': { pounds: list('libras|lbs'), kilos: list('quilos|kg|kilos'), inches: list('polegadas'), centimetres: list('cm|centímetros'), years: list('anos|aninhos'), months: list('meses'), half: 'e meio', frames: list('#|uns #|mais ou menos #|acho que #|# mais ou menos'), range: 'entre # e ##' },
  ru: { pounds: list('фунтов'), kilos: list('кг|кило|килограмм'), inches: list('дюймов'), centimetres: list('см|сантиметров'), years: list('лет|года'), months: list('месяцев|мес'), half: 'с половиной', frames: list('#|примерно #|где-то #|около #|# наверное'), range: 'от # до ##' },
  ko: { pounds: list('파운드|파운드요'), kilos: list('키로|킬로|kg|키로예요'), inches: list('인치'), centimetres: list('센치|센티|cm'), years: list('세|살'), months: list('개월|개월이요'), half: '반', frames: list('#|한 #|약 #|#쯤|대략 #'), range: '#에서 ##' },
  tl: { pounds: list('pounds|lbs|libra'), kilos: list('kilo|kilos|kg'), inches: list('pulgada|inches'), centimetres: list('cm|sentimetro'), years: list('taon|taong gulang'), months: list('buwan|months'), half: 'at kalahati', frames: list('#|mga #|siguro #|# po|nasa # siguro'), range: '# hanggang ##' },
  so: { pounds: list('rodol|pound'), kilos: list('kiilo|kg'), inches: list('inji'), centimetres: list('sentimitir|cm'), years: list('sano|jir'), months: list('bilood'), half: 'iyo bar', frames: list('#|qiyaastii #|waa #|malaha #'), range: '# ilaa ##' },
}; // biome-ignore format: a table

const glue = (language: Language): string => (language === 'zh-Hans' ? '' : ' ');

const read = (language: Language, asked: AskedSlot, text: string, ageMonths?: number) =>
  reader.read({
    language,
    asked,
    text,
    context: { today: '2026-05-16', units: 'us', ...(ageMonths !== undefined && { ageMonths }) },
  });

interface Expected {
  readonly language: Language;
  readonly asked: 'weight' | 'height' | 'age';
  readonly text: string;
  readonly value: number | readonly [number, number];
}

/** What is read otherwise than meant, as lines to print. */
const misread = (cases: readonly Expected[]): string[] =>
  cases.flatMap(({ language, asked, text, value }) => {
    const { values, confidence } = read(language, asked, text);
    const given = asked === 'weight' ? values.weightKg : asked === 'height' ? values.heightCm : values.ageMonths;
    const wanted = [value].flat();
    const same =
      given !== undefined &&
      Object.keys(values).length === 1 &&
      [given].flat().length === wanted.length &&
      [given].flat().every((each, index) => Math.abs(each - (wanted[index] ?? Number.NaN)) < 1e-6);
    return same && confidence === 'sure' ? [] : [`${text} -> ${JSON.stringify(values)} ${confidence}`];
  });

const range = (from: number, to: number): number[] => Array.from({ length: to - from + 1 }, (_, index) => from + index);

const inFrames = (language: Language, quantity: string): string[] =>
  WORDS[language].frames.map((frame) => frame.replace('#', quantity));

const HIGHEST_SPELT = 50;

describe.each(LANGUAGES)('generated messages in %s', (language) => {
  const words = WORDS[language];
  const spelt = (value: number) => spell(language, value);
  const join = (...parts: string[]) => parts.join(glue(language));

  it('are read right for every weight from 5 to 99 in digits, in every unit and frame', () => {
    const cases = range(5, 99).flatMap((value) =>
      [
        ...words.pounds.map((unit) => [unit, KG_PER_LB] as const),
        ...words.kilos.map((unit) => [unit, 1] as const),
      ].flatMap(([unit, size]) =>
        inFrames(language, join(String(value), unit)).map(
          (text): Expected => ({ language, asked: 'weight', text, value: value * size }),
        ),
      ),
    );
    expect(misread(cases)).toEqual([]);
  });

  it('are read right for every weight spelt out', () => {
    const cases = range(2, HIGHEST_SPELT).flatMap((value) =>
      [...words.pounds.map((unit) => [unit, KG_PER_LB] as const), ...words.kilos.map((unit) => [unit, 1] as const)].map(
        ([unit, size]): Expected => ({
          language,
          asked: 'weight',
          text: join(spelt(value), unit),
          value: value * size,
        }),
      ),
    );
    expect(misread(cases)).toEqual([]);
  });

  it('are read right with a half, in digits and spelt out', () => {
    const cases = range(5, HIGHEST_SPELT).flatMap((value) =>
      words.kilos.slice(0, 2).flatMap((unit): Expected[] =>
        [String(value), spelt(value)].map((number) => ({
          language,
          asked: 'weight',
          text: join(number, unit, words.half),
          value: value + 0.5,
        })),
      ),
    );
    expect(misread(cases)).toEqual([]);
  });

  it('are read right with a decimal point or comma', () => {
    const cases = range(5, 30).flatMap((value) =>
      ['.', ','].flatMap((mark) =>
        [3, 5, 8].map(
          (tenth): Expected => ({
            language,
            asked: 'weight',
            text: join(`${value}${mark}${tenth}`, words.kilos.at(-1) ?? ''),
            value: value + tenth / 10,
          }),
        ),
      ),
    );
    expect(misread(cases)).toEqual([]);
  });

  it('are read right as a range', () => {
    const unit = words.kilos[0] ?? '';
    const cases = range(6, 40).map(
      (value): Expected => ({
        language,
        asked: 'weight',
        text: join(words.range.replace('##', String(value + 1)).replace('#', String(value)), unit),
        value: [value, value + 1],
      }),
    );
    expect(misread(cases)).toEqual([]);
  });

  it('are read right for every height, in digits and spelt out', () => {
    const cases = range(35, 99).flatMap((value) => [
      ...words.centimetres.flatMap((unit) =>
        [String(value), ...(value <= HIGHEST_SPELT ? [spelt(value)] : [])].map(
          (number): Expected => ({ language, asked: 'height', text: join(number, unit), value }),
        ),
      ),
      ...(value <= 80
        ? words.inches.map(
            (unit): Expected => ({
              language,
              asked: 'height',
              text: join(String(value), unit),
              value: value * CM_PER_IN,
            }),
          )
        : []),
    ]);
    expect(misread(cases)).toEqual([]);
  });

  it('are read right for every age in years and months, in digits and spelt out', () => {
    const cases = [
      ...range(2, 12).flatMap((value) =>
        words.years.flatMap((unit) =>
          [String(value), spelt(value)].map(
            (number): Expected => ({
              language,
              asked: 'age',
              text: join(number, unit),
              value: [value * 12, value * 12 + 11],
            }),
          ),
        ),
      ),
      ...range(2, 40).flatMap((value) =>
        words.months.flatMap((unit) =>
          [String(value), spelt(value)].map(
            (number): Expected => ({ language, asked: 'age', text: join(number, unit), value: [value, value] }),
          ),
        ),
      ),
    ];
    expect(misread(cases)).toEqual([]);
  });

  it('are read the same with full-width digits, direction marks, capitals and trailing signs', () => {
    const wide = (text: string) => text.replace(/\d/g, (digit) => String.fromCharCode(digit.charCodeAt(0) + 0xfee0));
    const unit = words.kilos[0] ?? '';
    for (const value of range(6, 40)) {
      const plain = read(language, 'weight', join(String(value), unit));
      for (const spelling of [
        wide(join(String(value), unit)),
        `\u200f${join(String(value), unit)}\u200e`,
        join(String(value), unit).toUpperCase(),
        `${value}${unit}`,
        `  ${join(String(value), unit)}!!! 😊`,
        `${join(String(value), unit)}.`,
      ])
        expect(read(language, 'weight', spelling), spelling).toEqual(plain);
    }
  });

  it('without a unit follow the plausible one, and are read back where both or neither is', () => {
    // 26 months: 24 to 33 can only be pounds, 10 to 14 only kilograms (WHO 2006, CDC 2000).
    for (const value of range(24, 33))
      expect(read(language, 'weight', String(value), 26)).toEqual({
        values: { weightKg: value * KG_PER_LB },
        confidence: 'sure',
      });
    for (const value of range(10, 14))
      expect(read(language, 'weight', String(value), 26)).toEqual({ values: { weightKg: value }, confidence: 'sure' });
    for (const value of range(10, 60)) expect(read(language, 'weight', String(value)).confidence).toBe('confirm');
  });
});
