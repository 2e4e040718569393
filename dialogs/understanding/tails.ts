import type { UnitId } from './lexicon.ts';
import { numberAt, type ReadNumber } from './numbers.ts';
import { unitAfter } from './units.ts';
import { hitAt, type Message } from './words.ts';

const endsClause = (message: Message, at: number): boolean => {
  const token = message.tokens[at];
  return (
    token === undefined || (token.kind === 'mark' && token.text !== '-' && token.text !== '/' && token.text !== "'")
  );
};

/** "một mét không chín": the word for "no" is also the nought before one digit. */
export const spokenZero = (message: Message, at: number): ReadNumber | null => {
  const hit = hitAt(message, 'answer', at, 'no');
  const next = hit?.end === at + 1 ? numberAt(message, hit.end) : null;
  return next && !next.digits && next.value < 10 ? next : null;
};

/** A bare number written after a unit that counts the next smaller one: "13 ký 2", "3 kg 200", "3'2", "1 m 05". */
export const tailAt = (
  message: Message,
  unit: UnitId,
  at: number,
): { part: readonly [number, UnitId]; end: number; doubtful: boolean } | null => {
  const zero = hitAt(message, 'number', at, '0');
  const token = message.tokens[at];
  const number = (zero ? numberAt(message, zero.end) : null) ?? numberAt(message, at);
  if (!number || (number.decimals && unit !== 'ft') || unitAfter(message, number.end)?.guessed === false) return null;
  const { value, end } = number;
  if (message.tokens[end]?.text === '/') return null;
  const padded = zero !== null || (number.digits && number.whole.startsWith('0'));
  const width = number.digits ? number.whole.length : String(Math.floor(value)).length;
  const turns = hitAt(message, 'relation', end, 'now') ?? hitAt(message, 'relation', end, 'but');
  const goesOn = [...(message.hits[end] ?? []), ...(message.hits[end + 1] ?? [])].some(
    ({ group }) => group === 'mode' || group === 'kind',
  );
  const closes = endsClause(message, end) || turns !== null || goesOn || token?.spaced === false;
  const { digitAfterMetre } = message.vocabulary.lexicon.unitOrder;
  if (unit === 'ft') return value < 12 ? { part: [value, 'in'], end, doubtful: false } : null;
  if (unit === 'm') {
    const next = digitAfterMetre === 'tenth' && !number.digits && value < 10 && !padded ? numberAt(message, end) : null;
    // "一米一五": the digits of the centimetres said one by one.
    if (next && !next.digits && next.value < 10 && Number.isInteger(next.value))
      return { part: [value * 10 + next.value, 'cm'], end: next.end, doubtful: false };
    if (value >= 100 || width > 2) return null;
    if (width === 2 || padded) return { part: [value, 'cm'], end, doubtful: false };
    // Where one digit counts centimetres, "1m1" in one word may still mean 110.
    const glued = token?.spaced === false && message.tokens[at - 2]?.kind === 'number';
    if (digitAfterMetre === 'centimetre') return { part: [value, 'cm'], end, doubtful: glued };
    return { part: [value, 'dm'], end, doubtful: false };
  }
  if (unit === 'kg' && width === 3) return { part: [value, 'g'], end, doubtful: false };
  if (!closes) return null;
  if (unit === 'lb')
    return value < 16 && width <= 2
      ? { part: [value, 'oz'], end, doubtful: !padded && number.fraction !== null }
      : null;
  if (unit === 'kg') {
    if (width === 1 && Number.isInteger(value)) return { part: [value * 100, 'g'], end, doubtful: false };
    return width === 2 && token?.spaced === false ? { part: [value * 10, 'g'], end, doubtful: true } : null;
  }
  if (unit === 'stone') return value < 14 ? { part: [value, 'lb'], end, doubtful: false } : null;
  if (unit === 'jin') return value < 10 ? { part: [value, 'liang'], end, doubtful: false } : null;
  if (unit === 'dm') return value < 10 ? { part: [value, 'cm'], end, doubtful: false } : null;
  return null;
};
