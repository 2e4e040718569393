import type { Interval } from '#shared/interval.ts';
import { type Measure, resolveMeasure } from './measures.ts';
import type { Quantity } from './quantities.ts';
import type { Scope } from './scope.ts';
import { borrowUnits } from './sizes.ts';
import type { UnitSystem } from './types.ts';
import { hitsOf, type Message } from './words.ts';

/** What a word that leads up to a figure says that it measures. */
const labelOf = (message: Message, quantities: readonly Quantity[], { start, dimension }: Quantity): string | null => {
  const from = Math.max(0, ...quantities.filter((each) => each.end <= start).map(({ end }) => end));
  const labels = hitsOf(message, 'cue', 'weight', 'height', 'age');
  return dimension ?? labels.findLast((hit) => hit.start >= from && hit.end <= start)?.name ?? null;
};

/** Whose a figure is by the words that lead up to it: "the big one is 7, this one is 2". */
const ownerOf = (message: Message, scope: Scope, quantities: readonly Quantity[], { start }: Quantity) => {
  const from = Math.max(0, ...quantities.filter((each) => each.end <= start).map(({ end }) => end));
  const leads = (hit: { start: number; end: number }) =>
    hit.start >= from && hit.end <= start && scope.sentence[hit.start] === scope.sentence[start];
  const others = hitsOf(message, 'cue', 'several', 'other-child', 'adult').filter(leads);
  const inside = (hit: { start: number; end: number }) =>
    others.some((other) => hit.start >= other.start && hit.end <= other.end);
  if (hitsOf(message, 'cue', 'this-child').some((hit) => leads(hit) && !inside(hit))) return 'own';
  return others.length > 0 ? 'sibling' : null;
};

/** Of figures set against each other, those that are the other child's, and those that are this child's after all. */
export const contrasted = (
  message: Message,
  scope: Scope,
  quantities: readonly Quantity[],
): { readonly siblings: readonly Quantity[]; readonly own: readonly Quantity[] } => {
  const owners = new Map(quantities.map((each) => [each, ownerOf(message, scope, quantities, each)]));
  const of = (owner: string) => quantities.filter((each) => owners.get(each) === owner);
  const labels = new Map(quantities.map((each) => [each, labelOf(message, quantities, each)]));
  const areAlike = (one: Quantity, two: Quantity) => {
    const [left, right] = [labels.get(one) ?? null, labels.get(two) ?? null];
    return left === right || left === null || right === null;
  };
  const siblings = of('sibling').filter((one) => of('own').some((two) => areAlike(one, two)));
  return { siblings, own: of('own').filter((one) => siblings.some((two) => areAlike(one, two))) };
};

/** Of several children's sizes the only one that a child of this age can have (the growth references), or null. */
export const onlyPlausible = (
  quantities: readonly Quantity[],
  measure: Measure,
  age: Interval | null,
  units: UnitSystem,
): Quantity | null => {
  const sizes = quantities.filter(({ dimension }) => dimension === measure || dimension === null);
  if (age === null || sizes.length < 2 || !sizes.some(({ dimension }) => dimension === measure)) return null;
  const lent = new Map(sizes.map((each) => [each, 'other-child']));
  const possible = sizes.filter((each) => {
    const [borrowed = each] = borrowUnits([each], lent);
    return resolveMeasure(measure, borrowed, age, units)?.doubtful === false;
  });
  return possible.length === 1 ? (possible[0] ?? null) : null;
};
