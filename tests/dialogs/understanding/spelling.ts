import type { Language } from '#dialogs/understanding/types.ts';

/**
 * Whole numbers from 1 to 99 as the languages spell them, written from their grammars (from memory of the standard
 * orthographies) and not from the lexicons, so that the two check each other.
 */
export const spell = (language: Language, value: number): string => SPELLERS[language](value);

const split = (value: number): readonly [tens: number, unit: number] => [Math.floor(value / 10), value % 10];
const pick = (words: string, at: number): string => words.split(' ')[at] ?? '';

const english = (value: number): string => {
  const small =
    'zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen';
  if (value < 20) return pick(small, value);
  const [tens, unit] = split(value);
  const ten = pick('_ _ twenty thirty forty fifty sixty seventy eighty ninety', tens);
  return unit ? `${ten}-${pick(small, unit)}` : ten;
};

const spanish = (value: number): string => {
  const small =
    'cero uno dos tres cuatro cinco seis siete ocho nueve diez once doce trece catorce quince dieciséis diecisiete dieciocho diecinueve veinte veintiuno veintidós veintitrés veinticuatro veinticinco veintiséis veintisiete veintiocho veintinueve';
  if (value < 30) return pick(small, value);
  const [tens, unit] = split(value);
  const ten = pick('_ _ _ treinta cuarenta cincuenta sesenta setenta ochenta noventa', tens);
  return unit ? `${ten} y ${pick(small, unit)}` : ten;
};

const chinese = (value: number): string => {
  const digits = '零 一 二 三 四 五 六 七 八 九';
  const [tens, unit] = split(value);
  if (tens === 0) return value === 2 ? '两' : pick(digits, value);
  return `${tens === 1 ? '' : pick(digits, tens)}十${unit ? pick(digits, unit) : ''}`;
};

const vietnamese = (value: number): string => {
  const digits = 'không một hai ba bốn năm sáu bảy tám chín';
  const [tens, unit] = split(value);
  if (tens === 0) return pick(digits, unit);
  const five = unit === 5 ? 'lăm' : pick(digits, unit);
  if (tens === 1) return unit ? `mười ${five}` : 'mười';
  const last = unit === 1 ? 'mốt' : unit === 4 ? 'tư' : five;
  return `${pick(digits, tens)} mươi${unit ? ` ${last}` : ''}`;
};

const arabic = (value: number): string => {
  const units = 'صفر واحد اثنين ثلاثة أربعة خمسة ستة سبعة ثمانية تسعة عشرة';
  const teens = 'أحد_عشر اثنا_عشر ثلاثة_عشر أربعة_عشر خمسة_عشر ستة_عشر سبعة_عشر ثمانية_عشر تسعة_عشر';
  if (value <= 10) return pick(units, value);
  if (value < 20) return pick(teens, value - 11).replace('_', ' ');
  const [tens, unit] = split(value);
  const ten = pick('_ _ عشرين ثلاثين أربعين خمسين ستين سبعين ثمانين تسعين', tens);
  return unit ? `${pick(units, unit)} و${ten}` : ten;
};

const french = (value: number): string => {
  const small =
    'zéro un deux trois quatre cinq six sept huit neuf dix onze douze treize quatorze quinze seize dix-sept dix-huit dix-neuf';
  if (value < 20) return pick(small, value);
  const [tens, unit] = split(value);
  if (tens === 7 || tens === 9) {
    const base = tens === 7 ? 'soixante' : 'quatre-vingt';
    return value === 71 ? 'soixante et onze' : `${base}-${french(10 + unit)}`;
  }
  if (tens === 8) return unit ? `quatre-vingt-${pick(small, unit)}` : 'quatre-vingts';
  const ten = pick('_ _ vingt trente quarante cinquante soixante', tens);
  return unit === 0 ? ten : unit === 1 ? `${ten} et un` : `${ten}-${pick(small, unit)}`;
};

const haitian = (value: number): string => {
  const small =
    'zewo en de twa kat senk sis sèt uit nèf dis onz douz trèz katòz kenz sèz disèt dizuit diznèf ven venteyen vennde venntwa vennkat vennsenk vennsis vennsèt ventuit ventnèf trant tranteyen trannde tranntwa trannkat trannsenk trannsis trannsèt trantuit trantnèf karant karanteyen karannde karanntwa karannkat karannsenk karannsis karannsèt karantuit karantnèf senkant';
  return pick(small, value);
};

const portuguese = (value: number): string => {
  const small =
    'zero um dois três quatro cinco seis sete oito nove dez onze doze treze quatorze quinze dezesseis dezessete dezoito dezenove';
  if (value < 20) return pick(small, value);
  const [tens, unit] = split(value);
  const ten = pick('_ _ vinte trinta quarenta cinquenta sessenta setenta oitenta noventa', tens);
  return unit ? `${ten} e ${pick(small, unit)}` : ten;
};

const russian = (value: number): string => {
  const small =
    'ноль один два три четыре пять шесть семь восемь девять десять одиннадцать двенадцать тринадцать четырнадцать пятнадцать шестнадцать семнадцать восемнадцать девятнадцать';
  if (value < 20) return pick(small, value);
  const [tens, unit] = split(value);
  const ten = pick('_ _ двадцать тридцать сорок пятьдесят шестьдесят семьдесят восемьдесят девяносто', tens);
  return unit ? `${ten} ${pick(small, unit)}` : ten;
};

const korean = (value: number): string => {
  const digits = '영 일 이 삼 사 오 육 칠 팔 구';
  const [tens, unit] = split(value);
  const ten = tens === 0 ? '' : `${tens === 1 ? '' : pick(digits, tens)}십`;
  return `${ten}${unit ? pick(digits, unit) : ''}`;
};

const tagalog = (value: number): string => {
  const linked = '_ isang dalawang tatlong apat_na limang anim_na pitong walong siyam_na';
  if (value < 10) return pick(linked, value).replace('_', ' ');
  const teens =
    'sampung labing-isang labindalawang labintatlong labing-apat_na labinlimang labing-anim_na labimpitong labingwalong labinsiyam_na';
  if (value < 20) return pick(teens, value - 10).replace('_', ' ');
  const [tens, unit] = split(value);
  const ten = pick('_ _ dalawampu tatlumpu apatnapu limampu animnapu pitumpu walumpu siyamnapu', tens);
  return unit ? `${ten}'t ${pick(linked, unit).replace('_', ' ')}` : `${ten}ng`;
};

const somali = (value: number): string => {
  const units = 'eber kow laba saddex afar shan lix toddoba siddeed sagaal';
  const [tens, unit] = split(value);
  if (tens === 0) return value === 1 ? 'hal' : pick(units, unit);
  const ten = pick('_ toban labaatan soddon afartan konton lixdan toddobaatan siddeetan sagaashan', tens);
  return unit ? `${pick(units, unit)} iyo ${ten}` : ten;
};

const SPELLERS: Readonly<Record<Language, (value: number) => string>> = {
  en: english,
  es: spanish,
  'zh-Hans': chinese,
  vi: vietnamese,
  ar: arabic,
  fr: french,
  ht: haitian,
  'pt-BR': portuguese,
  ru: russian,
  ko: korean,
  tl: tagalog,
  so: somali,
};
