import { fold } from './normalise.ts';
import { type Token, tokenise, type Writing } from './tokens.ts';

export interface PatternWord {
  readonly text: string;
  readonly raw: string;
  readonly stem: boolean;
  readonly gap: boolean;
}

export interface Pattern {
  /** "unit.lb": a group, and what it means within the group. */
  readonly concept: string;
  readonly group: string;
  readonly name: string;
  readonly words: readonly PatternWord[];
  readonly gapped: boolean;
  /** May begin inside a word written in syllables. */
  readonly inside: boolean;
  /** Must end such a word. */
  readonly closes: boolean;
  /** 0 for the language itself, 1 for the language it borrows from. */
  readonly borrowed: 0 | 1;
}

export interface Hit {
  readonly pattern: Pattern;
  readonly group: string;
  readonly name: string;
  readonly start: number;
  readonly end: number;
}

const LONGEST_GAP = 3;

const pieces = (phrase: string): string[] =>
  phrase.includes('(') ? optional(phrase) : [phrase.replaceAll(/\s+/g, ' ').trim()];

const optional = (phrase: string): string[] => {
  const open = phrase.indexOf('(');
  const close = phrase.indexOf(')', open);
  if (close < 0) throw new Error(`unclosed bracket in phrase "${phrase}"`);
  const head = phrase.slice(0, open);
  const tail = phrase.slice(close + 1);
  return [...pieces(`${head}${phrase.slice(open + 1, close)}${tail}`), ...pieces(`${head}${tail}`)];
};

/** Nothing to normalise, fold or cut. */
const PLAIN_WORD = /^[a-z]{1,40}$/;
/** Precomposed small letters of one script: they need folding only. */
const SMALL_LETTERS = /^(?:[a-zà-öø-ÿăđĩũơưœạ-ỹ]{1,40}|[а-яё]{1,40}|[ء-غف-ي]{1,40})$/;

const patternWords = (phrase: string, writing: Writing): PatternWord[] =>
  phrase.split(' ').flatMap((part): PatternWord[] => {
    if (part === '…') return [{ text: '…', raw: '…', stem: false, gap: true }];
    if (PLAIN_WORD.test(part)) return [{ text: part, raw: part, stem: false, gap: false }];
    if (SMALL_LETTERS.test(part)) return [{ text: fold(part), raw: part, stem: false, gap: false }];
    const stem = part.endsWith('*');
    const tokens = tokenise(stem ? part.slice(0, -1) : part, writing);
    return tokens.map(({ text, raw }, index) => ({ text, raw, stem: stem && index === tokens.length - 1, gap: false }));
  });

/** The patterns of one phrase as the lexicon writes it. */
export const compilePhrase = (written: string, concept: string, writing: Writing, borrowed: 0 | 1): Pattern[] => {
  const inside = written.length > 1 && written.startsWith('~');
  const closes = written.length > 1 && written.endsWith('#');
  const phrase = written.slice(inside ? 1 : 0, closes ? -1 : undefined);
  const [group = '', ...rest] = concept.split('.');
  return pieces(phrase).map((piece) => {
    const words = patternWords(piece, writing);
    if (words.length === 0 || words[0]?.gap) throw new Error(`empty phrase "${written}" for ${concept}`);
    const gapped = words.some(({ gap }) => gap);
    return { concept, group, name: rest.join('.'), words, gapped, inside, closes, borrowed };
  });
};

const GAP_ENDS = new Set(['.', ';', '!', '?', '\n']);

/** Whether a word of a phrase fits a token; accents count only where both sides wrote them and the language needs them. */
const fits = (word: PatternWord, token: Token, strict: boolean): boolean => {
  if (token.kind === 'mark') return word.text === token.text;
  if (word.stem)
    return token.text.startsWith(word.text) || token.alternatives.some((other) => other.startsWith(word.text));
  if (word.text === token.text) return !strict || token.raw === word.raw || (token.raw === token.text && !token.plain);
  return token.alternatives.includes(word.text);
};

/** Where the phrase ends if it stands at `start`, else -1. Work is bounded by the phrase, not by the text. */
export const matchPattern = (pattern: Pattern, tokens: readonly Token[], start: number, strict: boolean): number => {
  const walk = (from: number, index: number): number => {
    const word = pattern.words[index];
    if (word === undefined) return from;
    if (word.gap) {
      for (let skip = 0; skip <= LONGEST_GAP; skip++) {
        if (skip > 0 && GAP_ENDS.has(tokens[from + skip - 1]?.text ?? '.')) return -1;
        const end = walk(from + skip, index + 1);
        if (end >= 0) return end;
      }
      return -1;
    }
    const token = tokens[from];
    if (token === undefined) return -1;
    if (fits(word, token, strict)) return walk(from + 1, index + 1);
    const skips = index > 0 && token.text === '-' && token.kind === 'mark';
    return skips ? walk(from + 1, index) : -1;
  };
  const first = tokens[start];
  if (first === undefined || (!first.opensWord && !pattern.inside)) return -1;
  const end = walk(start, 0);
  return end > 0 && pattern.closes && !tokens[end - 1]?.closesWord ? -1 : end;
};
