import { isBesideSlash, isMonthOrDay, isYear } from './date-numbers.ts';
import type { UnitId } from './lexicon.ts';
import { fractionAt, numberAt, type ReadNumber, slashFraction } from './numbers.ts';
import { joint, kilosAndGrams, refined, wholeAndPart } from './parts.ts';
import { spokenZero, tailAt } from './tails.ts';
import { ageRange, measured, QUARTERS } from './totals.ts';
import type { Range } from './types.ts';
import { DIMENSION, type Dimension, type ReadUnit, SMALLER, unitAfter, unitAt } from './units.ts';
import { isKnown } from './vocabulary.ts';
import { hitAt, hitsOf, type Message } from './words.ts';

/** A number of the message with the unit said for it, if any. */
export interface Quantity {
  readonly start: number;
  readonly end: number;
  readonly dimension: Dimension | null;
  readonly unit: UnitId | null;
  /** In the unit as said, for a single unit; both equal unless a range was said. */
  readonly said: Range;
  /** kg, cm or completed months; null without a unit. */
  readonly value: Range | null;
  readonly number: ReadNumber | null;
  readonly compound: boolean;
  /** The words allow another reading. */
  readonly doubtful: boolean;
  readonly range: boolean;
}

/** "1.20 m", "1m20": two digits behind a metre are centimetres, never months. */
const areMetres = (message: Message, number: ReadNumber | null, end: number): boolean => {
  const next = message.tokens[end];
  const behind = next?.kind === 'number' && !next.spaced && next.text.length === 2;
  return number?.digits === true && number.value < TALLEST_M && (number.decimals.length === 2 || behind);
};

const TALLEST_M = 3;

const pick = (ids: readonly UnitId[], number: number, decimals: boolean, asked: Dimension | null): UnitId => {
  const wanted = ids.filter((id) => DIMENSION[id] === asked);
  const [first] = wanted.length > 0 ? wanted : ids;
  if (wanted.length === 0 && ids.includes('m') && ids.includes('month')) return decimals || number <= 2 ? 'm' : 'month';
  if (wanted.length === 0 && ids.includes('g') && ids.includes('year')) return number > 100 ? 'g' : 'year';
  return first as UnitId;
};

/** A phrase that holds its number and its unit. */
const fixedAt = (
  message: Message,
  at: number,
  fits: (unit: UnitId) => boolean = () => true,
): { count: number; unit: UnitId; end: number } | null => {
  let best: { count: number; unit: UnitId; end: number } | null = null;
  for (const { group, name, end } of message.hits[at] ?? []) {
    const [count = '', unit = ''] = name.split(' ');
    if (group === 'quantity' && fits(unit as UnitId) && (best === null || end > best.end))
      best = { count: Number(count), unit: unit as UnitId, end };
  }
  return best;
};

/** Past "old" behind years, where months follow. */
const pastOld = (message: Message, at: number): number => {
  const old = hitsOf(message, 'cue', 'age').find(({ start, end }) => start <= at && end > at && at - start <= 1);
  const next = old ? joint(message, old.end) : at;
  const number = old && next !== old.end ? numberAt(message, next) : null;
  const follows = number
    ? unitAfter(message, number.end)?.ids.includes('month')
    : fixedAt(message, next)?.unit === 'month';
  return old && next !== old.end && follows ? old.end : at;
};

const isEnd = ({ tokens }: Message, at: number): boolean => tokens[at] === undefined || tokens[at]?.kind === 'mark';

interface Start {
  readonly amount: number;
  readonly number: ReadNumber | null;
  readonly unit: ReadUnit;
  readonly start: number;
}

const RESTATED_FROM_CM = 50;

const complete = (
  message: Message,
  { amount, number, unit: read, start }: Start,
  asked: Dimension | null,
): Quantity => {
  const metres = read.ids.includes('m') && areMetres(message, number, read.end);
  const unit = metres ? 'm' : pick(read.ids, amount, Boolean(number?.decimals), asked);
  const dimension = DIMENSION[unit];
  // One word for two units of a kind: "尺" is a foot, or a third of a metre.
  const ambiguous = read.ids.filter((id) => DIMENSION[id] === dimension).length > 1;
  const smaller: (readonly [number, UnitId])[] = [];
  let whole = amount;
  let end = read.end;
  let last = unit;
  let doubtful = false;
  while (smaller.length < 2) {
    const part = hitAt(message, 'part-of', joint(message, end)) ?? hitAt(message, 'part-of', end + 1);
    const partUnit = part ? unitAt(message, part.end) : null;
    const partId = partUnit?.ids.find((id) => SMALLER[last]?.[id]);
    if (part && partUnit && partId) {
      smaller.push([Number(part.name), partId]);
      end = partUnit.end;
      break;
    }
    const written = slashFraction(message, joint(message, end));
    const bare = written && !unitAfter(message, written.end) ? written : null;
    const fraction = number?.fraction || number?.decimals ? null : (fractionAt(message, end) ?? bare);
    if (fraction) {
      if (last === unit) whole += fraction.value;
      else smaller.push([fraction.value, last]);
      end = fraction.end;
      break;
    }
    // "متر وسنتين": the same word may count years, or centimetres behind a metre.
    // "2 years old and 7 months"
    if (unit === 'year' && end === read.end) end = pastOld(message, end);
    const fixed = fixedAt(message, joint(message, end), (each) => SMALLER[last]?.[each] !== undefined);
    if (fixed && (SMALLER[last]?.[fixed.unit] ?? 0) > fixed.count) {
      smaller.push([fixed.count, fixed.unit]);
      end = fixed.end;
      last = fixed.unit;
      continue;
    }
    // "два года и месяц": one of the smaller unit, its number left out.
    const linkedTo = joint(message, end);
    const lone =
      linkedTo !== end && (unit === 'm' || hitAt(message, 'implied-one', linkedTo)) ? unitAt(message, linkedTo) : null;
    const loneId = unit === 'year' ? 'month' : 'cm';
    if (lone && !lone.guessed && (unit === 'year' || unit === 'm') && lone.ids.includes(loneId)) {
      smaller.push([1, loneId]);
      end = lone.end;
      break;
    }
    const spoken = unit === 'm' ? spokenZero(message, end) : null;
    if (spoken) {
      smaller.push([spoken.value, 'cm']);
      end = spoken.end;
      break;
    }
    // "um metro e um"
    const lastOne = unit === 'm' ? hitAt(message, 'bound-number', joint(message, end)) : null;
    if (lastOne && Number(lastOne.name) < 10 && isEnd(message, lastOne.end)) {
      smaller.push([Number(lastOne.name), 'cm']);
      end = lastOne.end;
      break;
    }
    const zero = unit === 'm' ? hitAt(message, 'number', end, '0') : null;
    const ones = zero ? numberAt(message, zero.end) : null;
    // "một thước lẻ sáu phân"
    const past = zero && ones && unitAfter(message, ones.end) ? zero.end : end;
    const from = zero ? past : joint(message, end);
    const next = numberAt(message, from);
    const allowed = SMALLER[last];
    if (!next || !allowed) break;
    const said = unitAfter(message, next.end);
    const isCount = dimension !== 'age' || Number.isInteger(next.value);
    const fits = isCount ? said?.ids.find((id) => (allowed[id] ?? 0) > next.value) : undefined;
    // "almost a metre, 98 cm" says one height twice.
    const restated = message.tokens[end]?.text === ',' && unit === 'm' && next.value >= RESTATED_FROM_CM;
    if (said && fits && !restated) {
      smaller.push([next.value, fits]);
      end = said.end;
      last = fits;
      continue;
    }
    const linked = from !== end && message.tokens[end]?.kind === 'mark';
    const tail = linked || smaller.length > 0 ? null : tailAt(message, unit, from);
    const needsJoin = from !== end && unit !== 'm' && unit !== 'ft' && !(unit === 'kg' && tail && tail.part[0] >= 100);
    if (!tail || needsJoin) break;
    smaller.push(tail.part);
    end = tail.end;
    doubtful = tail.doubtful;
    break;
  }
  const parts = { amount: whole, unit, smaller };
  const value = dimension === 'age' ? ageRange(parts) : measured(parts);
  const oddDecimals = unit === 'year' && number?.decimals ? !QUARTERS.has(number.decimals) : false;
  return {
    start,
    end,
    dimension,
    unit,
    said: [whole, whole],
    value,
    number,
    compound: smaller.length > 0,
    doubtful: doubtful || oddDecimals || ambiguous,
    range: false,
  };
};

const bare = (number: ReadNumber): Quantity => ({
  start: number.start,
  end: number.end,
  dimension: null,
  unit: null,
  said: [number.value, number.value],
  value: null,
  number,
  compound: false,
  doubtful: false,
  range: false,
});

/** Thousands written with a separator: "12,800 g", never "3,200 kg". */
const asWritten = (number: ReadNumber, unit: ReadUnit | null): ReadNumber => {
  const thousands = number.decimals.length === 3 && number.digits && unit?.ids[0] === 'g';
  return thousands ? { ...number, value: Number(number.whole + number.decimals), decimals: '' } : number;
};

const quantityAt = (message: Message, start: number, asked: Dimension | null): Quantity | null => {
  const fixed = fixedAt(message, start);
  if (fixed) {
    // "два с половиной годика": the unit may be said again.
    const again = unitAt(message, fixed.end);
    const end = again?.ids.includes(fixed.unit) && !again.guessed ? again.end : fixed.end;
    const read = { ids: [fixed.unit], end, guessed: false };
    return complete(message, { amount: fixed.count, number: null, unit: read, start }, asked);
  }
  const part = hitAt(message, 'part-of', start);
  const partUnit = part ? unitAt(message, part.end) : null;
  if (part && partUnit && !partUnit.guessed)
    return complete(message, { amount: Number(part.name), number: null, unit: partUnit, start }, asked);
  const number = numberAt(message, start);
  if (number) {
    const unit = unitAfter(message, number.end);
    // "17년식", "15款": a model year.
    const dated = hitAt(message, 'date-after', number.end, 'year');
    if (dated && (!unit || (isYear(number) && dated.end > unit.end))) return null;
    if (!unit && (isMonthOrDay(message, number) || isBesideSlash(message, number))) return null;
    if (!unit || (isYear(number) && !unit.ids.some((id) => id === 'g' || id === 'mm'))) return bare(number);
    const written = asWritten(number, unit);
    return complete(message, { amount: written.value, number: written, unit, start }, asked);
  }
  // After a word nobody knows the number may be that word.
  const before = message.tokens[start - 1];
  const unknown =
    before?.kind === 'word' && !isKnown(message.vocabulary, before.text) && before.alternatives.length === 0;
  const implied = unknown ? null : hitAt(message, 'implied-one', start);
  const unit = implied ? unitAt(message, start) : null;
  if (!implied || !unit || unit.guessed) return null;
  const one = complete(message, { amount: 1, number: null, unit, start }, asked);
  // "метр с кепкой": a word nobody knows may make another thing of it.
  const strange = message.tokens.slice(one.end, one.end + 2).some(({ kind, text }) => {
    return kind === 'word' && !isKnown(message.vocabulary, text);
  });
  return strange ? { ...one, doubtful: true } : one;
};

/** Units said before their number: "фунтов 25", "lbs: 30". */
const withLeadingUnits = (message: Message, found: readonly Quantity[], asked: Dimension | null): Quantity[] => {
  const { before } = message.vocabulary.lexicon.unitOrder;
  const covered = new Set(
    found.flatMap(({ start, end }) => Array.from({ length: end - start }, (_, index) => start + index)),
  );
  const units = new Map(hitsOf(message, 'unit').map((hit) => [hit.end, hit]));
  return found.map((quantity) => {
    if (quantity.unit !== null || quantity.number === null || isYear(quantity.number)) return quantity;
    const colon = message.tokens[quantity.start - 1]?.text === ':' ? quantity.start - 1 : quantity.start;
    const hit = units.get(colon);
    if (!hit || covered.has(hit.start)) return quantity;
    const id = hit.name as UnitId;
    if (!before.includes(id) && colon === quantity.start) return quantity;
    const unit = { ids: [id], end: quantity.end, guessed: false };
    return complete(message, { amount: quantity.number.value, number: quantity.number, unit, start: hit.start }, asked);
  });
};

/** Every quantity of the message, in order, outside the tokens already taken. */
export const findQuantities = (message: Message, taken: ReadonlySet<number>, asked: Dimension | null): Quantity[] => {
  const found: Quantity[] = [];
  let at = 0;
  while (at < message.tokens.length) {
    const quantity = taken.has(at) ? null : quantityAt(message, at, asked);
    const previous = found.at(-1);
    const grams = quantity && previous && asked === 'weight' ? kilosAndGrams(message, previous, quantity) : null;
    const joined =
      grams ??
      (quantity && previous
        ? (wholeAndPart(message, previous, quantity) ?? refined(message, previous, quantity))
        : null);
    if (joined) found[found.length - 1] = joined;
    else if (quantity) found.push(quantity);
    at = quantity ? quantity.end : at + 1;
  }
  // "selon le mètre": a unit without a number says nothing beside a number with one.
  const counted = new Set(found.filter(({ number }) => number !== null).map(({ dimension }) => dimension));
  const used = found.filter(({ number, said, start, dimension }) => {
    const implied = number === null && said[0] === 1 && fixedAt(message, start) === null;
    return !(implied && dimension === 'height' && counted.has('height'));
  });
  return withLeadingUnits(message, used, asked);
};
