import type { Quantity } from './quantities.ts';
import { isClearlyTakenBack, isTakenBack } from './taken-back.ts';
import type { Range } from './types.ts';
import { type Dimension, SIZE } from './units.ts';
import { hitAt, hitsOf, type Message } from './words.ts';

const WIDEST_RANGE = 2;

const inUnit = (quantity: Quantity, like: Quantity): Quantity => {
  if (quantity.unit !== null || like.unit === null || like.value === null) return quantity;
  const amount = quantity.said[0];
  const size = amount * SIZE[like.unit];
  const months: Range = [Math.floor(size), Math.floor(size) + (like.unit === 'year' ? 11 : 0)];
  return {
    ...quantity,
    unit: like.unit,
    dimension: like.dimension,
    value: like.dimension === 'age' ? months : [size, size],
  };
};

export const isJoiner = (message: Message, from: number, to: number, between: boolean): boolean => {
  let at = from;
  while (at < to) {
    const token = message.tokens[at];
    const hit =
      hitAt(message, 'relation', at, 'to') ??
      hitAt(message, 'relation', at, 'or') ??
      (between ? hitAt(message, 'relation', at, 'and') : null);
    if (hit) at = hit.end;
    else if (token?.kind === 'mark' && (token.text === '-' || token.text === '~')) at += 1;
    else return false;
  }
  return to > from;
};

/** Two numbers said one after the other, the second one more: "два-три", "mười ba mười bốn ký", "41 42 pounds". */
const areNeighbours = (left: Quantity, right: Quantity): boolean =>
  left.end === right.start &&
  left.unit === null &&
  left.number !== null &&
  right.number !== null &&
  left.number.digits === right.number.digits &&
  (!left.number.digits || left.said[0] >= LEAST_IN_DIGITS) &&
  right.said[0] === left.said[0] + 1;

const LEAST_IN_DIGITS = 10;

/** "12, 13 kilos": a guess between two. */
const areListed = ({ tokens }: Message, left: Quantity, right: Quantity): boolean =>
  left.unit === null &&
  right.unit !== null &&
  right.start === left.end + 1 &&
  tokens[left.end]?.text === ',' &&
  right.said[0] === left.said[0] + 1;

/** "二十五六斤": the ten is said once for both. */
const sharesTens = (left: Quantity, right: Quantity): Quantity => {
  const [low, high] = [left.said[0], right.said[0]];
  const shares = low > 10 && high < 10 && high === (low % 10) + 1 && right.number?.digits === false;
  if (!shares || left.end !== right.start) return right;
  const whole = low + 1;
  const value = right.value && right.unit ? right.value.map((each) => (each / high) * whole) : null;
  if (right.dimension === 'age' || right.compound) return right;
  return { ...right, said: [whole, whole], value: value as Range | null };
};

const MOST_WORDS_BEFORE = 3;

/** "92 and 94 cm": two measurings, or one not sure which; never the last alone. */
const areTwoFigures = (message: Message, left: Quantity, right: Quantity, wanted: Dimension | null): boolean => {
  const same = left.unit !== null ? left.unit === right.unit : (right.dimension ?? wanted) === wanted;
  if (!same || wanted === null || left.compound || right.compound) return false;
  return isJoiner(message, left.end, right.start, true);
};

const asRange = (message: Message, left: Quantity, given: Quantity, wanted: Dimension | null): Quantity | null => {
  const right = sharesTens(left, given);
  if (left.dimension !== null && right.dimension !== null && left.dimension !== right.dimension) return null;
  const before = hitsOf(message, 'relation', 'between').some(
    ({ start, end }) =>
      (end <= left.start && left.start - end <= MOST_WORDS_BEFORE) ||
      (start >= right.end && start - right.end <= MOST_WORDS_BEFORE),
  );
  const said = isJoiner(message, left.end, right.start, before) || areNeighbours(left, right);
  const twice = !said && areTwoFigures(message, left, right, wanted);
  if (!said && !twice && !areListed(message, left, right)) return null;
  const [first, last] = [inUnit(left, right), inUnit(right, left)];
  const [low, high] = first.value && last.value ? [first.value[0], last.value[1]] : [first.said[0], last.said[1]];
  if (first.range || last.range || low >= high || (last.dimension !== 'age' && high > low * WIDEST_RANGE)) return null;
  return {
    ...last,
    start: left.start,
    said: [first.said[0], last.said[1]],
    value: first.value && last.value ? [first.value[0], last.value[1]] : null,
    doubtful:
      twice ||
      first.doubtful ||
      last.doubtful ||
      last.unit === 'year' ||
      (last.dimension === null && last.number === null),
    range: true,
  };
};

const MOST_YEARS = 12;

/** "tres y un mes", "3 and 2 months": the years said without their word. */
const yearsAndMonths = (message: Message, left: Quantity, right: Quantity): Quantity | null => {
  const [years, months] = [left.said[0], right.said[0]];
  const fits = left.unit === null && right.unit === 'month' && !right.compound && months < MOST_YEARS;
  if (!fits || !Number.isInteger(years) || years < 1 || years > MOST_YEARS || left.number === null) return null;
  const joint = hitAt(message, 'relation', left.end, 'and') ?? hitAt(message, 'number-and', left.end);
  if (joint?.end !== right.start) return null;
  const value = years * 12 + months;
  return { ...right, start: left.start, compound: true, said: [years, years], unit: 'year', value: [value, value] };
};

/** Joins "30 to 32 lb" and its like into one quantity. */
export const joinRanges = (message: Message, quantities: readonly Quantity[], wanted: Dimension | null): Quantity[] => {
  const joined: Quantity[] = [];
  for (const quantity of quantities) {
    const previous = joined.at(-1);
    const range = previous
      ? (yearsAndMonths(message, previous, quantity) ?? asRange(message, previous, quantity, wanted))
      : null;
    if (range) joined[joined.length - 1] = range;
    else joined.push(quantity);
  }
  return joined;
};

/** Drops what the caregiver took back: "38 no wait 33 lbs", "33 not 38". */
export const applyCorrections = (
  message: Message,
  quantities: readonly Quantity[],
): { kept: Quantity[]; corrected: boolean } => {
  const corrections = hitsOf(message, 'relation', 'correction');
  const takenBack = new Set(corrections.map(({ end }) => end));
  // "no pesa 40, pesa 34": the verb may stand between.
  const verbs = new Map(hitsOf(message, 'cue', 'weight', 'height', 'age').map(({ start, end }) => [start, end]));
  const negations = new Set(hitsOf(message, 'relation', 'not').flatMap(({ end }) => [end, verbs.get(end) ?? end]));
  const kept: Quantity[] = [];
  let corrected = false;
  for (const quantity of quantities) {
    const previous = kept.at(-1);
    const negated = negations.has(quantity.start);
    // "no 35" after a number either denies 35 or takes the number back; before any number it can only deny.
    const either = negated && takenBack.has(quantity.start);
    // "40 pulgadas, no 50": after a size with its unit a bare figure is denied, not put in its place.
    const [plainNot] = message.vocabulary.lexicon.relations.not;
    const denies = hitsOf(message, 'relation', 'not').some(
      (hit) => hit.end === quantity.start && hit.pattern.words.map(({ raw }) => raw).join(' ') === plainNot,
    );
    const bare = denies && previous !== undefined && previous.unit !== null && quantity.unit === null;
    if (negated && quantities.length > 1 && !(either && previous && !bare)) {
      corrected = true;
      continue;
    }
    const between = previous && isTakenBack(message, previous.end, quantity.start);
    const alike =
      previous &&
      (previous.dimension === quantity.dimension || previous.dimension === null || quantity.dimension === null);
    if (previous && between && alike) {
      const joined = inUnit(quantity, previous);
      // "sorry, 33 not 38": the number after the excuse stands, the other is denied.
      const excused = either && corrections.some(({ end }) => end <= previous.start);
      if (!excused) {
        const unclear = either && !isClearlyTakenBack(message, previous.end, quantity.start);
        kept[kept.length - 1] = unclear ? { ...joined, doubtful: true } : joined;
      } else if (previous.unit === null) kept[kept.length - 1] = inUnit(previous, quantity);
      corrected = true;
    } else kept.push(quantity);
  }
  return { kept, corrected };
};
