import { completedMonths, firstDay, lastDay } from '#shared/dates.ts';
import type { Interval } from '#shared/interval.ts';
import { asInterval, type ReadAge, readNewborn, resolveAge } from './ages.ts';
import type { Assigned } from './assign.ts';
import type { Birthday } from './birthdays.ts';
import { type Measure, resolveMeasure } from './measures.ts';
import { joint } from './parts.ts';
import type { Quantity } from './quantities.ts';
import type { Scope } from './scope.ts';
import type { Doubt, Turn } from './turn.ts';
import type { Range, ReadRequest, ReadValues } from './types.ts';
import { SMALLER } from './units.ts';
import { hitAt, hitsOf, type Message, wordsOutside } from './words.ts';

/** Older than this a number of years that nobody asked for is likelier something else's age. */
const OLDEST_MONTHS = 155;

const agesOf = ({ message, scope }: Turn, assigned: readonly Assigned[], birthday: Birthday | null): ReadAge[] => {
  const ages = assigned.filter(({ dimension }) => dimension === 'age');
  // A month speaks of the age beside it, a feast of the only one there is.
  const own = ({ start }: Quantity) =>
    ages.length === 1 || (birthday?.doubtful === true && scope.clause[start] === scope.clause[birthday.start]);
  return ages.flatMap(({ quantity }) => resolveAge(message, quantity, own(quantity) ? birthday : null) ?? []);
};

const narrowest = (ages: readonly ReadAge[]): ReadAge | null => {
  const last = ages.at(-1);
  if (!last) return null;
  const inside = ages.every(({ months }) => months[0] <= last.months[0] && months[1] >= last.months[1]);
  const first = ages[0];
  const around = first && ages.every(({ months }) => first.months[0] >= months[0] && first.months[1] <= months[1]);
  if (around && first)
    return (
      ages.find(
        ({ months, doubtful }) => !doubtful && months[0] === first.months[0] && months[1] === first.months[1],
      ) ?? first
    );
  return inside ? last : { ...last, doubtful: true };
};

/** Completed months as said, of several ages the narrower. */
export const readAge = (
  turn: Turn,
  assigned: readonly Assigned[],
  birthday: Birthday | null,
  doubt: Doubt,
): Range | undefined => {
  const { asked } = turn.request;
  const ages = agesOf(turn, assigned, birthday);
  const newborn = readNewborn(turn.message);
  if (newborn && (asked === 'age' || asked === null)) ages.push(newborn);
  const age = narrowest(ages);
  if (!age) return undefined;
  if (age.doubtful || (asked !== 'age' && age.months[0] > OLDEST_MONTHS)) doubt.doubtful = true;
  return age.months;
};

/** The age by which units are judged: as said, by the birth date, or as known before. */
export const ageInterval = ({ context, today }: Turn, values: ReadValues): Interval | null => {
  if (values.ageMonths) return asInterval(values.ageMonths);
  if (values.birthDate)
    return {
      min: completedMonths(lastDay(values.birthDate), today),
      max: completedMonths(firstDay(values.birthDate), today),
    };
  return asInterval(context.ageMonths);
};

const collapse = ([low, high]: Range): number | Range => (low === high ? low : [low, high]);

/** "under 40 lb": the number only bounds the size; "a little under 13 kg" is an estimate like any other. */
const isBound = (message: Message, { start, end }: Quantity): boolean =>
  hitsOf(message, 'relation', 'a-little').length === 0 &&
  hitsOf(message, 'relation', 'bound').some((hit) => (hit.end <= start && start - hit.end <= 1) || hit.start === end);

/** Kilograms or centimetres of what is left of the quantities. */
export const readMeasure = (
  turn: Turn,
  measure: Measure,
  assigned: readonly Assigned[],
  age: Interval | null,
  corrected: boolean,
  doubt: Doubt,
): number | Range | undefined => {
  const own = assigned.filter(({ dimension }) => dimension === measure);
  const resolved = own.flatMap(
    ({ quantity }) => resolveMeasure(measure, quantity, age, turn.context.units ?? 'us') ?? [],
  );
  const touching = own.some(({ quantity }) => own.some((next) => next.quantity.start === quantity.end));
  if (touching || own.some(({ quantity }) => isBound(turn.message, quantity))) doubt.doubtful = true;
  // Of several the one that the age allows: "I weigh 160 and she weighs 28".
  const plausible = age === null ? [] : resolved.filter(({ doubtful }) => !doubtful);
  if (resolved.length > 1 && plausible.length === 1 && plausible[0]) return collapse(plausible[0].value);
  const last = resolved.at(-1);
  const first = resolved[0];
  if (!last || !first) return undefined;
  // "30 lb (13.6 kg)": the same thing said twice.
  const same = resolved.every(({ value }) => Math.abs(value[0] - first.value[0]) <= 0.02 * first.value[0]);
  // "just over a metre, 102 cm": of the two the finer one.
  const rounded = ['m', 'ft'].includes(own[0]?.quantity.unit ?? '') && own[0]?.quantity.compound === false;
  // "24 lbs and some ounces, 24 lb 6"
  const [round, measured] = [own[0]?.quantity, own.at(-1)?.quantity];
  const finer =
    (round?.compound === false && measured?.compound === true) ||
    (!round?.number?.decimals && Boolean(measured?.number?.decimals) && round?.unit === measured?.unit);
  const used = same && !rounded && !finer ? first : last;
  if (used.doubtful || (!same && !corrected)) doubt.doubtful = true;
  return collapse(used.value);
};

/** A number without a unit beside another child's number with one takes that unit (understanding.md, Units). */
export const borrowUnits = (quantities: readonly Quantity[], dropped: ReadonlyMap<Quantity, string>): Quantity[] => {
  const [lender] = [...dropped]
    .filter(
      ([{ dimension, value }, why]) => (why === 'other-child' || why === 'earlier') && dimension !== 'age' && value,
    )
    .map(([quantity]) => quantity);
  return quantities.map((quantity) => {
    if (quantity.dimension !== null || !lender?.value || !lender.unit || lender.compound) return quantity;
    const factor = lender.value[0] / lender.said[0];
    return {
      ...quantity,
      dimension: lender.dimension,
      unit: lender.unit,
      value: [quantity.said[0] * factor, quantity.said[1] * factor],
    };
  });
};

/** At birth and now are the same for a child in its first weeks. */
export const keepNewbornSize = (
  dropped: Map<Quantity, string>,
  all: readonly Quantity[],
  age: Interval | null,
): void => {
  if (age === null || age.max > 1) return;
  for (const [quantity, why] of dropped)
    if (why === 'at-birth' && !all.some((each) => !dropped.has(each) && each.dimension === quantity.dimension))
      dropped.delete(quantity);
};

const ALIKE = 1.5;
const LEAST_IN_WORDS = 10;

const MOST_TO_A_PART = 2;
/** "almost 1 m, 98 cm" says one height twice. */
const LEAST_RESTATED = 2;

/** A half or a smaller unit just behind a used quantity, taken for nothing or for another one: "27 pounds, another 5 ounces". */
const hasLoosePart = (message: Message, used: readonly Quantity[]): boolean =>
  used.some(({ start, end, unit, number }) => {
    const follows = (at: number) => at >= end && at - end <= MOST_TO_A_PART;
    const inside = (at: number) => used.some((each) => each.start !== start && at >= each.start && at < each.end);
    const half = hitsOf(message, 'fraction').some((hit) => follows(hit.start) && !inside(hit.start));
    const smaller = unit ? SMALLER[unit] : undefined;
    // "일 미터 영 이": digits behind a metre that were not understood.
    const digit = (message.hits[end] ?? []).some(({ group }) => group === 'number' || group === 'bound-number');
    return (
      (unit === 'm' && digit && !inside(end)) ||
      (unit === 'm' && hitAt(message, 'bound-number', joint(message, end)) !== null && !inside(joint(message, end))) ||
      (half && number !== null && !number.fraction && !number.decimals) ||
      used.some(
        (next) =>
          next.dimension !== 'age' &&
          follows(next.start) &&
          next.unit !== null &&
          (smaller?.[next.unit] ?? 0) > next.said[0] * LEAST_RESTATED,
      )
    );
  });

/** A number beside a used one, or a word away, taken for nothing, may belong to it: "12 kilos trescientos". */
export const hasLooseNumber = (
  message: Message,
  kept: readonly Quantity[],
  assigned: readonly Assigned[],
  today: string,
): boolean => {
  const { tokens } = message;
  const used = assigned.map(({ quantity }) => quantity);
  const oldest = Number(today.slice(0, 4)) - 100;
  // "38 inches in january probably 39 now": another size of the same order.
  const alike = (loose: Quantity) =>
    loose.number !== null &&
    (loose.number.digits || loose.said[0] >= LEAST_IN_WORDS) &&
    used.some(
      ({ said, dimension }) =>
        dimension !== 'age' && loose.said[0] > said[0] / ALIKE && loose.said[0] < said[0] * ALIKE,
    );
  if (hasLoosePart(message, used)) return true;
  const besideWord = (from: number, to: number) => to - from === 1 && tokens[from]?.kind === 'word';
  return kept.some(
    (loose) =>
      loose.unit === null &&
      loose.said[0] < oldest &&
      // "'07"
      !(tokens[loose.start - 1]?.text === "'" && loose.number?.whole.length === 2) &&
      !used.includes(loose) &&
      !(loose.number?.digits === false && loose.said[0] <= 1) &&
      (alike(loose) ||
        used.some(
          ({ start, end }) =>
            loose.end === start ||
            loose.start === end ||
            besideWord(end, loose.start) ||
            (besideWord(loose.end, start) && hitAt(message, 'relation', loose.end, 'and') !== null),
        )),
  );
};

/** Of scripts that write no endings onto a number. */
const LETTERS = /^[a-z\u00e0-\u024f]/;

const STRANGE_BESIDE_A_NUMBER = 2;
const MOST_OF_A_TOWN = 2;

const isAgeOfNobody = (message: Message, asked: ReadRequest['asked'], strange: number): boolean =>
  hitsOf(message, 'cue', 'this-child', 'age').length === 0 && strange >= (asked === 'age' ? 2 : 1);

/** A number nobody named, or an age of nobody named, among words of something else: "there are 4 of us in the car". */
export const isBesideThePoint = (
  message: Message,
  scope: Scope,
  assigned: readonly Assigned[],
  asked: ReadRequest['asked'],
): boolean => {
  const bare = assigned.filter(({ quantity }) => quantity.unit === null);
  const [first] = assigned;
  const ageAlone = assigned.length === 1 && first?.dimension === 'age' && first.quantity.unit !== null;
  if (bare.length === 0 && !ageAlone) return false;
  // Where the age was asked, what stands apart from it says nothing against it.
  const towns = hitsOf(message, 'state');
  const isTown = (at: number) =>
    towns.some(
      ({ start, end }) => (at < start && start - at <= MOST_OF_A_TOWN) || (at >= end && at - end <= MOST_OF_A_TOWN),
    );
  const apart = asked === 'age' || (asked === null && ageAlone);
  const within = (at: number) =>
    !isTown(at) &&
    (!(apart && first && first.quantity.unit !== 'day') || scope.clause[at] === scope.clause[first.quantity.start]);
  const strange = wordsOutside(message, () => true, within);
  if (ageAlone) return isAgeOfNobody(message, asked, strange);
  // "3T", "3da saac": letters nobody knows on the number itself.
  const glued = bare.some(({ quantity: { end } }) => {
    const next = message.tokens[end];
    return next?.spaced === false && LETTERS.test(next.raw) && (message.hits[end] ?? []).length === 0;
  });
  if (glued) return true;
  const beside = bare.flatMap(({ quantity }) => scope.clause[quantity.start] ?? []);
  const unnamed = bare.some(({ labelled }) => !labelled);
  const child = hitsOf(message, 'cue', 'this-child', 'age').length > 0;
  const ofCar = hitsOf(message, 'cue', 'vehicle').some(({ start }) => {
    const clause = scope.clause[start] ?? -1;
    // "dans la voiture": what looks like "now" may be an article.
    return beside.includes(clause) || (scope.turns.has(clause) && beside.includes(clause - 1));
  });
  const elsewhere = ofCar || hitsOf(message, 'intent', 'person').length > 0;
  const near = unnamed
    ? strange
    : wordsOutside(
        message,
        () => true,
        (at) => beside.includes(scope.clause[at] ?? -1),
      );
  if (near > STRANGE_BESIDE_A_NUMBER && (unnamed || !child)) return true;
  const isAge = bare.some(({ dimension }) => dimension === 'age');
  // A day of a month whose year was not understood is no age.
  const months = message.byGroup.get('month') ?? [];
  const isDay = bare.some(
    ({ quantity, labelled }) =>
      !labelled && months.some(({ end }) => quantity.start >= end && quantity.start - end <= 1),
  );
  // "3 in august": was, or will be.
  const inMonth = bare.some(
    ({ quantity, labelled }) =>
      !labelled && months.some(({ start }) => start >= quantity.end && start - quantity.end <= 2),
  );
  if (isAge && (isDay || inMonth)) return true;
  return elsewhere && !child && isAge;
};
