import type { Hit } from './patterns.ts';
import { hitAt, hitsOf, type Message } from './words.ts';

export interface ReadNumber {
  readonly value: number;
  readonly start: number;
  readonly end: number;
  /** Written in digits; false for number words. */
  readonly digits: boolean;
  /** Digits before and after a separator, as written. */
  readonly whole: string;
  readonly decimals: string;
  /** A half or quarter was said: its size. */
  readonly fraction: number | null;
}

const LONGEST_PLAIN_NUMBER = 7;
const MOST_NUMBER_WORDS = 12;

const mark = (message: Message, at: number): string | null => {
  const token = message.tokens[at];
  return token?.kind === 'mark' ? token.text : null;
};

interface Words {
  readonly value: number;
  readonly end: number;
}

/** Whether a further number word may be added to what was said so far: "thirty" takes "two", "three" takes nothing. */
const mayAdd = (message: Message, group: number, last: number, value: number, linked: boolean): boolean => {
  const { unitsBeforeTens, teensAfter } = message.vocabulary.lexicon.numbers;
  const rest = group % 100;
  if (value < 10) return group > 0 && group % 10 === 0 && last >= 10;
  if (rest === 0 && group >= 100 && value < 100) return true;
  if (teensAfter.includes(rest) && value < 20) return true;
  return unitsBeforeTens && linked && rest > 0 && rest < 10 && value % 10 === 0 && value < 100;
};

const AFTER_BOUND = ['unit', 'times', 'fraction', 'point', 'date-after'];

/** "primero de mayo", "may first": a number word beside a month. */
const isDayOfMonth = (message: Message, { start, end }: Hit): boolean => {
  const linker = hitAt(message, 'date-linker', end);
  const follows = hitAt(message, 'month', end) ?? (linker && hitAt(message, 'month', linker.end));
  return Boolean(follows) || hitsOf(message, 'month').some((month) => month.end === start);
};

/** A number word that counts only right before a unit: "세 살", never "세상". */
const boundNumber = (message: Message, at: number, afterTens = false): Hit | null => {
  const hit = hitAt(message, 'bound-number', at);
  if (afterTens) return hit;
  const alone = hit?.start === 0 && hit.end === message.tokens.length;
  if (hit && isDayOfMonth(message, hit)) return hit;
  return hit && (alone || AFTER_BOUND.some((group) => hitAt(message, group, hit.end) !== null)) ? hit : null;
};

const numberWords = (message: Message, start: number): Words | null => {
  const { digitPairs } = message.vocabulary.lexicon.numbers;
  let total = 0;
  let group = 0;
  let last = 0;
  let at = start;
  let words = 0;
  while (words < MOST_NUMBER_WORDS) {
    const and = words > 0 ? hitAt(message, 'number-and', at) : null;
    // "treinta y una" stands without a unit, "una" does not.
    const afterTens = words > 0 && last >= 20 && last < 100;
    const next =
      and &&
      (hitAt(message, 'number', and.end) ??
        hitAt(message, 'times', and.end) ??
        boundNumber(message, and.end, afterTens))
        ? and.end
        : at;
    const linked = next !== at;
    const times = hitAt(message, 'times', next);
    const plain = hitAt(message, 'number', next) ?? boundNumber(message, next, afterTens && linked);
    if (times && (!plain || times.end >= plain.end) && !linked) {
      const by = Number(times.name);
      if (by >= 1000) {
        total += Math.max(group, 1) * by;
        group = 0;
      } else if (by === 100) {
        if (group >= 10) break;
        group = Math.max(group, 1) * 100;
      } else if (group % 10 > 0 && group % 100 < 10) group += (group % 10) * (by - 1);
      else if (words > 0 && (last === 10 || group % 100 > 10)) break;
      else group += by;
      last = by;
      at = times.end;
    } else if (plain) {
      const value = Number(plain.name);
      if (words === 0 || (group === 0 && last >= 1000)) group += value;
      else if (value === 0 && group >= 100) last = 100;
      else if (mayAdd(message, group, last, value, linked)) group += value;
      else if (digitPairs && !linked && words === 1 && group > 0 && group < 10 && value < 10)
        group = group * 10 + value;
      else break;
      if (!Number.isInteger(value)) return { value: total + group, end: plain.end };
      last = value === 0 ? 100 : value;
      at = plain.end;
    } else break;
    words += 1;
  }
  return words > 0 ? { value: total + group, end: at } : null;
};

/**
 * Whether an "and" that may also be a decimal point ("12 и 5") joins two figures instead: only one digit after it can be
 * a tenth, and none between the ends of a range ("между 12 и 13").
 */
const joinsFigures = (message: Message, at: number, after: number): boolean => {
  if (hitAt(message, 'relation', at, 'and') === null) return false;
  const next = message.tokens[after];
  if (next?.kind === 'number' && next.text.length > 1) return true;
  // "два и три месяца": years and months.
  const second = numberWords(message, after);
  if (hitAt(message, 'unit', second?.end ?? after + 1, 'month')) return true;
  return hitsOf(message, 'relation', 'between').some(({ end }) => end <= at && at - end <= MOST_BEFORE_AND);
};

const MOST_BEFORE_AND = 3;

/** "point five", "phẩy hai lăm": digits said one by one after the separator. */
const spokenDecimals = (message: Message, at: number): { decimals: string; end: number } | null => {
  const point = hitAt(message, 'point', at);
  if (!point || joinsFigures(message, at, point.end)) return null;
  const token = message.tokens[point.end];
  if (token?.kind === 'number' && !token.decimals) return { decimals: token.text, end: point.end + 1 };
  const said = numberWords(message, point.end);
  if (!said || said.value >= 100) return null;
  let decimals = String(said.value);
  let end = said.end;
  while (said.value < 10) {
    const next = numberWords(message, end);
    if (!next || next.value >= 10) break;
    decimals += String(next.value);
    end = next.end;
  }
  return { decimals, end };
};

const isSmallWhole = (message: Message, at: number): boolean => {
  const token = message.tokens[at];
  return token?.kind === 'number' && token.decimals === '' && token.text.length <= 2;
};

/** "1/4" or the "1/4" of "29 1/4"; null where it is a date or has no sense as a part of one. */
export const slashFraction = (message: Message, at: number): { value: number; end: number } | null => {
  if (!isSmallWhole(message, at) || mark(message, at + 1) !== '/' || !isSmallWhole(message, at + 2)) return null;
  const top = Number(message.tokens[at]?.text);
  const bottom = Number(message.tokens[at + 2]?.text);
  if (mark(message, at + 3) === '/' || ![2, 3, 4, 8, 16].includes(bottom) || top >= bottom || top === 0) return null;
  return { value: top / bottom, end: at + 3 };
};

const digitNumber = (message: Message, start: number): ReadNumber | null => {
  const token = message.tokens[start];
  if (token?.kind !== 'number' || token.whole.length > LONGEST_PLAIN_NUMBER || message.spoken.has(start)) return null;
  const base = { start, digits: true, whole: token.whole, decimals: token.decimals };
  const part = slashFraction(message, start);
  if (part) return { ...base, value: part.value, end: part.end, whole: '0', fraction: part.value };
  const value = Number(token.decimals ? `${token.whole}.${token.decimals}` : token.whole);
  const next = message.tokens[start + 1];
  // "12 800": digits in groups of three.
  if (
    !token.decimals &&
    token.whole.length <= 2 &&
    next?.kind === 'number' &&
    next.text.length === 3 &&
    next.spaced &&
    !next.decimals
  ) {
    const joined = Number(token.whole + next.text);
    const unit = hitAt(message, 'unit', start + 2);
    if (unit?.name === 'g')
      return { ...base, value: joined, end: start + 2, whole: token.whole + next.text, fraction: null };
  }
  const dash = mark(message, start + 1) === '-' ? start + 2 : start + 1;
  const behind = token.decimals ? null : slashFraction(message, dash);
  if (behind) return { ...base, value: value + behind.value, end: behind.end, fraction: behind.value };
  const times = token.decimals ? null : hitAt(message, 'times', start + 1);
  if (times && Number(times.name) >= 1000) {
    const rest = numberWords(message, times.end);
    const more = rest && rest.value < 1000 ? rest : { value: 0, end: times.end };
    return { ...base, value: value * Number(times.name) + more.value, end: more.end, fraction: null };
  }
  return { ...base, value, end: start + 1, fraction: null };
};

/** "thirty 3": the ones in a digit behind the tens in words. */
const withDigit = (message: Message, words: Words): Words => {
  const digit = message.tokens[words.end];
  const tens = words.value >= 20 && words.value < 100 && words.value % 10 === 0;
  const ones = digit?.kind === 'number' && /^[1-9]$/.test(digit.text);
  return tens && ones ? { value: words.value + Number(digit.text), end: words.end + 1 } : words;
};

const wordNumber = (message: Message, start: number): ReadNumber | null => {
  const said = numberWords(message, start);
  if (!said) return null;
  const words = withDigit(message, said);
  const spoken = spokenDecimals(message, words.end);
  return {
    value: spoken ? Number(`${words.value}.${spoken.decimals}`) : words.value,
    start,
    end: spoken?.end ?? words.end,
    digits: false,
    whole: String(Math.floor(words.value)),
    decimals: spoken?.decimals ?? '',
    fraction: Number.isInteger(words.value) ? null : words.value % 1,
  };
};

/** A year said digit by digit: "二零二二"; with two digits its last ones. */
export const digitYearAt = (message: Message, start: number, count = 4): { year: number; end: number } | null => {
  let digits = '';
  let at = start;
  while (digits.length < count) {
    const hit = hitAt(message, 'number', at);
    if (hit?.name.length !== 1) return null;
    digits += hit.name;
    at = hit.end;
  }
  return { year: Number(digits), end: at };
};

/** The half or quarter said at a token. */
export const fractionAt = (message: Message, at: number): { value: number; end: number } | null => {
  const hit = hitAt(message, 'fraction', at);
  return hit ? { value: Number(hit.name), end: hit.end } : null;
};

/** The number that starts at a token, in digits or words, with the half said right after it. */
export const numberAt = (message: Message, start: number): ReadNumber | null => {
  const digits = digitNumber(message, start);
  const spoken = digits && !digits.decimals ? spokenDecimals(message, digits.end) : null;
  const number =
    digits && spoken
      ? { ...digits, value: Number(`${digits.whole}.${spoken.decimals}`), decimals: spoken.decimals, end: spoken.end }
      : (digits ?? wordNumber(message, start));
  if (!number || number.fraction !== null || number.decimals) return number;
  const part = fractionAt(message, number.end);
  return part ? { ...number, value: number.value + part.value, end: part.end, fraction: part.value } : number;
};
