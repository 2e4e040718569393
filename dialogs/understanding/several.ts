import type { Quantity } from './quantities.ts';
import { hitsOf, type Message } from './words.ts';

const NOT_OF_A_CHILD = new Set([
  'at-birth',
  'limit',
  'ignore',
  'duration',
  'thing',
  'earlier',
  'past',
  'to-go',
  'slack',
  'gain',
  'gestation',
  'sum',
  'mistyped',
]);

const areAlike = (one: Quantity, two: Quantity): boolean =>
  one.dimension === two.dimension || one.dimension === null || two.dimension === null;

const NEAR = 1.05;

/** "one scale says 92, the other 94": the other of two figures so close may be no child. */
const areNear = ({ said: [one] }: Quantity, { said: [two] }: Quantity): boolean =>
  Math.max(one, two) < NEAR * Math.min(one, two);

/** Twins or brothers are spoken of, or another child and nobody by name, and two figures of a kind said: whose each is must be asked. */
export const isOneOfSeveral = (
  message: Message,
  all: readonly Quantity[],
  dropped: ReadonlyMap<Quantity, string>,
  ageAsked: boolean,
): boolean => {
  const others = hitsOf(message, 'cue', 'other-child');
  const inside = (at: number) => others.some(({ start, end }) => at >= start && at <= end);
  const several = hitsOf(message, 'cue', 'several').some(({ start }) => !inside(start));
  const isOther = (quantity: Quantity) => dropped.get(quantity) === 'other-child';
  const isAge = ({ dimension }: Quantity) => dimension === 'age' || (dimension === null && ageAsked);
  const named = hitsOf(message, 'cue', 'this-child').length > 0;
  // "one child only": the word counts children.
  const counts = ({ unit, number, said }: Quantity) => unit === null && number?.digits === false && said[0] <= 1;
  const children = all.filter((quantity) => !NOT_OF_A_CHILD.has(dropped.get(quantity) ?? '') && !counts(quantity));
  return children.some((one, index) =>
    children
      .slice(index + 1)
      .some(
        (two) =>
          areAlike(one, two) &&
          (several || (!named && !isAge(one) && isOther(one) !== isOther(two) && (isOther(one) || areNear(one, two)))),
      ),
  );
};
