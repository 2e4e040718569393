/** Code points of the digit zero of the scripts with decimal digits (Unicode general category Nd). */
const ZEROS = [
  0x660, 0x6f0, 0x7c0, 0x966, 0x9e6, 0xa66, 0xae6, 0xb66, 0xbe6, 0xc66, 0xce6, 0xd66, 0xde6, 0xe50, 0xed0, 0xf20,
  0x1040, 0x1090, 0x17e0, 0x1810, 0x1946, 0x19d0, 0x1a80, 0x1a90, 0x1b50, 0x1bb0, 0x1c40, 0x1c50, 0xa620, 0xa8d0,
  0xa900, 0xa9d0, 0xa9f0, 0xaa50, 0xabf0,
];

const PLAIN = new Map<string, string>([
  ...[...'’‘ʼ′`´ʹ＇'].map((c) => [c, "'"] as const),
  ...[...'″“”„〃＂'].map((c) => [c, '"'] as const),
  ...[...'–—−‒―‐‑'].map((c) => [c, '-'] as const),
  ...[...'～〜∼'].map((c) => [c, '~'] as const),
  ...[...'、،'].map((c) => [c, ','] as const),
  ...[...'。…'].map((c) => [c, '.'] as const),
  ['○', '〇'],
  // Parts what it stands between, never the digits of one number: "1米02，38磅".
  ['，', ', '],
  ['؟', '?'],
  ['؛', ';'],
  ['٫', '.'],
  ['٬', ''],
  ['٪', '%'],
  ['⁄', '/'],
  ['∕', '/'],
]);

// Zero-width and bidirectional marks, soft hyphen, byte-order mark, variation selectors.
const INVISIBLE = /[\u00ad\u061c\u200b-\u200f\u202a-\u202e\u2060-\u2069\ufeff]|\p{Variation_Selector}/u;
const DIGIT = /\p{Nd}/u;

const digitOf = (character: string): string => {
  const code = character.codePointAt(0) ?? 0;
  const zero = ZEROS.find((base) => code >= base && code < base + 10);
  return zero === undefined ? character : String(code - zero);
};

/** Ranges of letters that no normal form changes, looked up first because nearly every character is one of them. */
const PLAIN_LETTERS: readonly (readonly [number, number])[] = [
  [0xc0, 0x17f],
  [0x410, 0x44f],
  [0x621, 0x64a],
  [0x1ea0, 0x1ef9],
  [0x4e00, 0x9fff],
  [0xac00, 0xd7a3],
];

const isPlainLetter = (character: string): boolean => {
  const code = character.codePointAt(0) ?? 0;
  return PLAIN_LETTERS.some(([first, last]) => code >= first && code <= last);
};

const plainCharacter = (character: string): string => {
  if (isPlainLetter(character)) return character;
  const simple = PLAIN.get(character);
  if (simple !== undefined) return simple;
  if (INVISIBLE.test(character)) return '';
  const compatible = character.normalize('NFKC');
  // "29½" must not become "291/2".
  if (compatible.includes('⁄')) return ` ${compatible.replace('⁄', '/')} `;
  return DIGIT.test(compatible) ? [...compatible].map(digitOf).join('') : compatible;
};

/** The text with digits of every script as ASCII, full-width forms narrowed, one kind of quote and dash, no invisible marks. */
export const normalise = (text: string): string => {
  let out = '';
  for (const character of text.normalize('NFC')) {
    out += character < '\u0080' ? character : plainCharacter(character);
  }
  return out.normalize('NFC').replaceAll("''", '"');
};

const LETTER_FOLDS: Readonly<Record<string, string>> = {
  đ: 'd',
  ı: 'i',
  ß: 'ss',
  œ: 'oe',
  æ: 'ae',
  ø: 'o',
  ł: 'l',
  // Arabic spellings that vary freely: ta marbuta, alif maqsura, hamza carriers, tatweel, Persian kaf and ya.
  ة: 'ه',
  ى: 'ي',
  ؤ: 'و',
  ئ: 'ي',
  ء: '',
  ـ: '',
  ک: 'ك',
  ی: 'ي',
  گ: 'ك',
  پ: 'ب',
  چ: 'ج',
  ڤ: 'ف',
};

/** Arabic letters that carry a hamza or madda, and the letters below them. */
const ARABIC_CARRIERS: Readonly<Record<string, string>> = { أ: 'ا', إ: 'ا', آ: 'ا' };

/** Lower case without accents or vowel marks, so that a text typed without them compares equal. */
export const fold = (word: string): string => {
  if (/^[a-z0-9\u4e00-\u9fff\uac00-\ud7a3]*$/.test(word)) return word;
  if (/^[а-я]+$/.test(word)) return word.replaceAll('й', 'и');
  if (/^[ء-غف-ي]+$/.test(word))
    return word.replace(/[آأإؤئءةى]/g, (letter) => ARABIC_CARRIERS[letter] ?? LETTER_FOLDS[letter] ?? letter);
  let out = '';
  for (const character of word
    .toLowerCase()
    .normalize('NFD')
    .replace(/\p{M}+/gu, '')
    .normalize('NFC')) {
    out += LETTER_FOLDS[character] ?? character;
  }
  return out;
};
