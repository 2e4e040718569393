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
]);

const areAlike = (one: Quantity, two: Quantity): boolean =>
  one.dimension === two.dimension || one.dimension === null || two.dimension === null;

/** Twins or brothers are spoken of, or another child and nobody by name, and two figures of a kind said: whose each is must be asked. */
export const isOneOfSeveral = (
  message: Message,
  all: readonly Quantity[],
  dropped: ReadonlyMap<Quantity, string>,
): boolean => {
  const others = hitsOf(message, 'cue', 'other-child');
  const inside = (at: number) => others.some(({ start, end }) => at >= start && at <= end);
  const several = hitsOf(message, 'cue', 'several').some(({ start }) => !inside(start));
  const isOther = (quantity: Quantity) => dropped.get(quantity) === 'other-child';
  const named = hitsOf(message, 'cue', 'this-child').length > 0;
  const children = all.filter((quantity) => !NOT_OF_A_CHILD.has(dropped.get(quantity) ?? ''));
  return children.some((one, index) =>
    children
      .slice(index + 1)
      .some(
        (two) =>
          areAlike(one, two) && (several || (!named && one.dimension !== 'age' && isOther(one) !== isOther(two))),
      ),
  );
};
