import { monthsAlone } from './birthdays.ts';
import { isJoiner } from './joining.ts';
import type { Hit } from './patterns.ts';
import type { Quantity } from './quantities.ts';
import type { Scope } from './scope.ts';
import { hitsOf, type Message } from './words.ts';

const MOST_TO_A_TENURE = 5;
const MOST_TO_A_THING = 2;
const MOST_BACK_TO_A_THING = 3;

/** "the car is 5 years old", "5 years na yung kotse": the thing is the subject of the age. */
const isOfThing = (message: Message, scope: Scope, { start, end, unit }: Quantity, things: readonly Hit[]): boolean => {
  const clause = scope.clause[start];
  // "el carro": an article that is spelt like "he".
  const article = (hit: Hit) => things.some((thing) => thing.start === hit.end);
  const child = hitsOf(message, 'cue', 'this-child').some((hit) => scope.clause[hit.start] === clause && !article(hit));
  if (child) return false;
  // "a 2021 SUV, 7 years old, 55 lb": a car that has its year has no age besides.
  const dated = message.tokens.some(
    ({ kind, text }, at) => kind === 'number' && /^(19|20)\d\d$/.test(text) && scope.clause[at] === clause,
  );
  const own = things.filter((hit) => scope.clause[hit.start] === clause && !(dated && hit.name === 'vehicle'));
  const opens = start === 0 || scope.clause[start - 1] !== clause;
  const labelled = hitsOf(message, 'cue', 'age').some((hit) => hit.start >= start && hit.start <= end);
  return own.some((hit) => {
    const before = start - hit.end;
    const shortest = hit.name === 'vehicle' && unit === 'year' ? 0 : 1;
    if (before >= shortest && before <= MOST_TO_A_THING) return true;
    const after = hit.start - end;
    return opens && !labelled && unit === 'year' && after >= 1 && after <= MOST_BACK_TO_A_THING;
  });
};

/** The age of the clause that stands nearest to a word; of two as near the one behind it. */
const nearest = (scope: Scope, hit: Hit, ages: readonly Quantity[]): Quantity | null => {
  const away = ({ start, end }: Quantity) => (start >= hit.end ? start - hit.end : Math.max(0, hit.start - end));
  const own = ages.filter(
    (each) => scope.clause[each.start] === scope.clause[hit.start] && away(each) <= MOST_TO_A_TENURE,
  );
  return own.reduce<Quantity | null>((best, each) => (best === null || away(each) <= away(best) ? each : best), null);
};

const WIDEST_OF_A_CHILD = 2;

/** "the seat is 9 to 18 kg, he is 14": figures of a seat beside one that is not, or further apart than a guess is. */
const isOfSeat = (message: Message, scope: Scope, quantity: Quantity, all: readonly Quantity[]): boolean => {
  if (quantity.dimension !== 'weight' && quantity.dimension !== 'height') return false;
  const clause = scope.clause[quantity.start];
  const says = (name: string) => hitsOf(message, 'cue', name).some((hit) => scope.clause[hit.start] === clause);
  if (!says('seat') || says('this-child')) return false;
  // "the seat weighs 18, the baby 22"
  const children = hitsOf(message, 'cue', 'this-child').map(({ start }) => scope.clause[start]);
  const leads = hitsOf(message, 'cue', 'seat').some(
    ({ start, end }) => scope.clause[start] === clause && end <= quantity.start,
  );
  const isTheChilds = ({ start, dimension }: Quantity) =>
    dimension === quantity.dimension && children.includes(scope.clause[start]);
  if (says(quantity.dimension) && !(leads && all.some(isTheChilds))) return false;
  return all.some(
    ({ start, dimension }) =>
      scope.clause[start] !== clause && (dimension === quantity.dimension || dimension === null),
  );
};

/** "4 a 40 libras": the two ends of what a label allows. */
const labelEnds = (message: Message, scope: Scope, quantities: readonly Quantity[]): Quantity[] =>
  quantities.flatMap((right, index) => {
    const left = quantities[index - 1];
    if (!left || left.range || right.range || right.dimension === 'age' || left.compound) return [];
    if (left.unit !== null && left.unit !== right.unit) return [];
    const seat = hitsOf(message, 'cue', 'seat').some((hit) => scope.clause[hit.start] === scope.clause[left.start]);
    const wide = (right.dimension !== null || seat) && right.said[0] > left.said[0] * WIDEST_OF_A_CHILD;
    return wide && isJoiner(message, left.end, right.start, false) ? [left, right] : [];
  });

const MOST_TO_A_BIRTH = 4;

/** "born at 33 weeks, now 6 months": how long a child was carried, beside its age. */
const isGestation = (message: Message, scope: Scope, each: Quantity, all: readonly Quantity[]): boolean => {
  const weeks = each.unit === 'week' && each.said[0] >= 22 && each.said[1] <= 43;
  if (!weeks || !all.some((other) => other !== each && other.dimension === 'age')) return false;
  if (hitsOf(message, 'cue', 'duration').some(({ start }) => start === each.end)) return false;
  return hitsOf(message, 'cue', 'born', 'at-birth', 'tenure').some(
    ({ start, end }) =>
      scope.sentence[start] === scope.sentence[each.start] &&
      (start >= each.end ? start - each.end : each.start - end) <= MOST_TO_A_BIRTH,
  );
};

/** Takes out the years of something else: how long a seat was used, how old a car is, since when a family lives there. */
export const dropOtherSpans = (
  message: Message,
  scope: Scope,
  quantities: readonly Quantity[],
  dropped: Map<Quantity, string>,
): void => {
  const ends = labelEnds(message, scope, quantities);
  for (const end of ends) if (quantities.some((each) => !ends.includes(each))) dropped.set(end, 'limit');
  for (const quantity of quantities)
    if (!dropped.has(quantity) && isOfSeat(message, scope, quantity, quantities)) dropped.set(quantity, 'limit');
  // "5월 20일": the day of a month whose year is not said.
  const months = new Set(monthsAlone(message, new Set()).map(({ end }) => end));
  for (const quantity of quantities)
    if (quantity.unit === 'day' && months.has(quantity.start)) dropped.set(quantity, 'date');
  const sizes = quantities.filter(({ dimension }) => dimension === 'weight' || dimension === 'height');
  for (const hit of hitsOf(message, 'cue', 'gain')) {
    const grown = nearest(scope, hit, sizes);
    // "he went up to 28": what it grew to is the size.
    const reaches =
      grown && hitsOf(message, 'relation', 'to').some(({ start, end }) => start >= hit.end && end === grown.start);
    if (grown && !reaches) dropped.set(grown, 'gain');
  }
  for (const quantity of quantities)
    if (isGestation(message, scope, quantity, quantities)) dropped.set(quantity, 'gestation');
  const tenure = hitsOf(message, 'cue', 'tenure');
  const things = hitsOf(message, 'cue', 'vehicle', 'seat');
  const labels = hitsOf(message, 'cue', 'age');
  const ages = quantities.filter(({ dimension }) => dimension === 'age');
  for (const quantity of ages) {
    if (dropped.has(quantity)) continue;
    const { start, end } = quantity;
    const labelled = labels.some((hit) => (hit.end === start || hit.start === end) && hit.end - hit.start > 0);
    // "9 months and we have a car" tells of two things.
    const joined = (hit: Hit) =>
      hitsOf(message, 'relation', 'and').some((and) => and.start >= end && and.end <= hit.start);
    const held = tenure.some((hit) => nearest(scope, hit, ages) === quantity && !joined(hit));
    if (held && !labelled) dropped.set(quantity, 'duration');
    else if (isOfThing(message, scope, quantity, things)) dropped.set(quantity, 'thing');
  }
};
