import type { Quantity } from './quantities.ts';
import { measured } from './totals.ts';
import { SIZE } from './units.ts';
import { hitAt, hitsOf, type Message } from './words.ts';

/** Past the "and", or the comma, between two parts of one quantity. */
export const joint = (message: Message, at: number): number => {
  const token = message.tokens[at];
  const dot = token?.kind === 'mark' && (token.text === ',' || token.text === '.') ? at + 1 : at;
  const and = hitAt(message, 'relation', dot, 'and') ?? hitAt(message, 'number-and', dot);
  return and?.end ?? dot;
};

const MOST_OF_A_REFINEMENT = 0.1;

/** "just over a meter, 103", "10 킬로 조금 넘어요 10.2": the round figure, and then the one measured. */
export const refined = (message: Message, round: Quantity, given: Quantity): Quantity | null => {
  const { unit, dimension, number } = round;
  if (given.unit !== null || given.number?.digits !== true || !unit || !round.value || round.compound) return null;
  if (dimension === 'age' || dimension === null || (number && (number.decimals || number.fraction))) return null;
  const hedges = hitsOf(message, 'relation', 'a-little', 'almost', 'about');
  const hedged = hedges.some(
    ({ start, end }) =>
      (start <= given.start && given.start - end <= 2) || (end <= round.start && round.start - end <= 2),
  );
  const of = unit === 'm' || unit === 'ft' ? (unit === 'm' ? 'cm' : 'in') : unit;
  const value = given.said[0] * SIZE[of];
  const finer = of !== unit || given.number.decimals !== '';
  if (!hedged || !finer || Math.abs(value - round.value[0]) > MOST_OF_A_REFINEMENT * round.value[0]) return null;
  return { ...given, unit: of, dimension, value: [value, value] };
};

const MOST_KILOS = 50;

/** "двенадцать триста": kilograms and hundreds of grams, as people say a child's weight. */
export const kilosAndGrams = (message: Message, kilos: Quantity, grams: Quantity): Quantity | null => {
  const [whole, part] = [kilos.said[0], grams.said[0]];
  const spoken = kilos.number?.digits === false && grams.number?.digits === false;
  if (!spoken || kilos.unit !== null || grams.unit !== null || joint(message, kilos.end) !== grams.start) return null;
  if (whole >= MOST_KILOS || part < 100 || part >= 1000 || part % 10 !== 0) return null;
  const value = whole + part / 1000;
  return { ...kilos, end: grams.end, dimension: 'weight', unit: 'kg', compound: true, value: [value, value] };
};

/** "12 и полкило", "12个半公斤": the half of the unit that the whole number counts too. */
export const wholeAndPart = (message: Message, whole: Quantity, part: Quantity): Quantity | null => {
  const isPart = part.number === null && part.said[0] < 1 && part.unit !== null && part.dimension !== 'age';
  if (!isPart || !part.unit || whole.unit !== null || !whole.number || whole.number.decimals) return null;
  const linked = joint(message, whole.end);
  if ((hitAt(message, 'linker', linked)?.end ?? linked) !== part.start) return null;
  const amount = whole.said[0] + part.said[0];
  const value = measured({ amount, unit: part.unit, smaller: [] });
  return { ...part, start: whole.start, said: [amount, amount], number: whole.number, value };
};
