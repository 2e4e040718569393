import { fold, normalise } from './normalise.ts';

export interface Token {
  readonly kind: 'number' | 'word' | 'mark';
  /** Folded word, digits as written, or the mark itself. */
  readonly text: string;
  /** Lower case with its accents. */
  readonly raw: string;
  /** Other forms the word may be read as, e.g. without a leading article. */
  readonly alternatives: readonly string[];
  /** Digits before and after the separator, for a number. */
  readonly whole: string;
  readonly decimals: string;
  readonly separator: string;
  /** Typed without accents among words that have them, and a word as it stands: no accent was left out. */
  readonly plain: boolean;
  /** Written wholly in capitals (two letters or more). */
  readonly capitals: boolean;
  /** White space, or the edge of the text, comes directly before. */
  readonly spaced: boolean;
  /** Not the inside of a word written in syllables or a longer run of the same script. */
  readonly opensWord: boolean;
  readonly closesWord: boolean;
}

export interface Writing {
  /** Whether an apostrophe inside a word joins ("she's") or parts ("l'an") it. */
  readonly apostrophe: 'join' | 'split';
  /** Character variants read as one. */
  readonly variants: Readonly<Record<string, string>>;
}

const HAN = /\p{Script=Han}/u;
const HANGUL = /\p{Script=Hangul}/u;
const LETTER = /[\p{L}\p{M}]/u;
/** Signs people answer with; other pictures say nothing. */
const SIGNS = new Set(['👍', '👎', '👌', '✅', '❌']);
const LONGEST_WORD = 40;

type Sort = 'digit' | 'han' | 'hangul' | 'latin' | 'letter' | 'space' | 'mark';

const sortOf = (character: string): Sort => {
  if (character >= '0' && character <= '9') return 'digit';
  if (character === '\n') return 'mark';
  if (character <= ' ') return 'space';
  if (/[a-z]/i.test(character)) return 'latin';
  if (character < '\u0080') return 'mark';
  const code = character.codePointAt(0) ?? 0;
  if (code >= 0x410 && code <= 0x44f) return 'letter';
  if (code >= 0x621 && code <= 0x64a) return 'letter';
  if (code >= 0xac00 && code <= 0xd7a3) return 'hangul';
  if (code >= 0x4e00 && code <= 0x9fff) return 'han';
  if (SIGNS.has(character)) return 'mark';
  if (HAN.test(character)) return 'han';
  if (HANGUL.test(character)) return 'hangul';
  if (LETTER.test(character))
    return character < '\u0250' || (character >= '\u1e00' && character < '\u1f00') ? 'latin' : 'letter';
  return 'space';
};

const blank = {
  alternatives: [],
  whole: '',
  decimals: '',
  separator: '',
  capitals: false,
  plain: false,
  opensWord: true,
  closesWord: true,
} as const;

/** "yesss", "дааа": a letter drawn out. */
const drawnIn = (word: string): string => (/^(.)\1*$/u.test(word) ? word : word.replace(/(.)\1{2,}/gu, '$1'));

const isWordSort = (sort: Sort | undefined): boolean =>
  sort === 'latin' || sort === 'letter' || sort === 'han' || sort === 'hangul';

/**
 * Numbers, words and marks in order. Words of scripts written without spaces, or with endings glued on (Han, Hangul),
 * come out as one token a character, so that the same phrase matching serves every language.
 */
export const tokenise = (text: string, writing: Writing): Token[] => {
  const characters = [...normalise(text)];
  const sorts = characters.map(sortOf);
  const tokens: Token[] = [];
  let at = 0;
  let spaced = true;
  const isDigit = (index: number) => sorts[index] === 'digit';
  const push = (token: Omit<Token, 'spaced'>) => {
    tokens.push({ ...token, spaced });
    spaced = false;
  };
  while (at < characters.length) {
    const sort = sorts[at] as Sort;
    const character = characters[at] as string;
    if (sort === 'space') {
      spaced = true;
      at += 1;
    } else if (sort === 'digit' || (character === '.' && isDigit(at + 1) && spaced)) {
      const start = at;
      while (isDigit(at)) at += 1;
      const whole = characters.slice(start, at).join('') || '0';
      const mark = characters[at];
      let decimals = '';
      if ((mark === '.' || mark === ',' || mark === '·') && isDigit(at + 1)) {
        let end = at + 1;
        while (isDigit(end)) end += 1;
        const again = characters[end] === mark && isDigit(end + 1);
        const before = tokens.at(-1);
        const chained = before?.text === mark && !spaced && start > 0 && tokens.at(-2)?.kind === 'number';
        if (!again && !chained) {
          decimals = characters.slice(at + 1, end).join('');
          at = end;
        }
      }
      const written = decimals ? `${whole}${mark}${decimals}` : whole;
      push({
        ...blank,
        kind: 'number',
        text: written,
        raw: written,
        whole,
        decimals,
        separator: decimals ? (mark as string) : '',
      });
    } else if (sort === 'han' || sort === 'hangul') {
      const text = fold(character);
      push({
        ...blank,
        kind: 'word',
        text: writing.variants[text] ?? text,
        raw: character,
        opensWord: sort === 'han' || sorts[at - 1] !== sort,
        closesWord: sort === 'han' || sorts[at + 1] !== sort,
      });
      at += 1;
    } else if (sort === 'latin' || sort === 'letter') {
      let word = '';
      const start = at;
      while (at < characters.length) {
        const next = characters[at] as string;
        if (sorts[at] === sort || (sorts[at] === 'letter' && LETTER.test(next) && /\p{M}/u.test(next))) word += next;
        else if (!(next === "'" && writing.apostrophe === 'join' && isWordSort(sorts[at + 1]))) break;
        at += 1;
      }
      if (start > 0 && characters[start - 1] === "'" && writing.apostrophe === 'split') spaced = true;
      const shown = drawnIn(word.length > LONGEST_WORD ? word.slice(0, LONGEST_WORD) : word);
      push({
        ...blank,
        kind: 'word',
        text: fold(shown),
        raw: shown.toLowerCase(),
        capitals: shown.length > 1 && shown === shown.toUpperCase() && shown !== shown.toLowerCase(),
      });
    } else {
      const previous = sorts[at - 1];
      const following = sorts[at + 1];
      const insideWord = isWordSort(previous) && isWordSort(following);
      const beforeWord = isWordSort(following) && previous === 'digit';
      // A hyphen or apostrophe inside a word only parts it: "vingt-sept", "24-го", "l'an", "12't".
      if (!((character === '-' || character === "'") && (insideWord || beforeWord))) {
        push({ ...blank, kind: 'mark', text: character, raw: character });
      }
      at += 1;
    }
  }
  return tokens;
};
