import { isAskedAbout, isDenied, isDeniedAfter, isNegated, REACH_OF_NOT, wordsAfterNot } from './denial.ts';
import type { Found } from './found.ts';
import type { Hit } from './patterns.ts';
import type { Scope } from './scope.ts';
import type { AskedSlot, ReadSeatKind } from './types.ts';
import { hitsOf, type Message, wordsOutside } from './words.ts';

/** The names among some hits, each once. */
export const distinct = <T extends string>(hits: readonly Hit[]): T[] => [
  ...new Set(hits.map(({ name }) => name as T)),
];

const MOST_BESIDE_A_BOOSTER = 2;

interface Features {
  readonly rear: boolean;
  readonly forward: boolean;
  readonly booster: boolean;
  readonly harness: boolean;
  readonly only: boolean;
  readonly notBooster: boolean;
  /** More is said of it than a booster needs. */
  readonly more: boolean;
}

/** "from birth to booster": a booster is only the last of what the seat becomes. */
const leadsTo = (message: Message): boolean => {
  const boosters = hitsOf(message, 'feature', 'booster').map(({ start }) => start);
  return hitsOf(message, 'relation', 'to').some(({ end }) => boosters.includes(end) || boosters.includes(end + 1));
};

/** "the booster, the one without a back": said twice, or with what it is for. */
const isDescribed = (message: Message): boolean => {
  const hits = hitsOf(message, 'kind', 'booster');
  return hits.some(({ start, end }) => end - start > 1) || new Set(hits.map(({ start }) => start)).size > 1;
};

const REACH_OF_CANNOT = 6;

/** "can't be used as a booster and can't go backwards": what the seat is not for. */
const isRuledOut = (message: Message, scope: Scope, { start, end, name }: Hit): boolean =>
  (name === 'rear' || name === 'rear-facing' || name === 'booster') &&
  hitsOf(message, 'cue', 'cannot').some((not) => {
    if (scope.clause[not.start] !== scope.clause[start]) return false;
    // "как бустер использовать нельзя": where it closes the clause it denies what was said before.
    const closes = scope.clause[not.end] !== scope.clause[start] || message.tokens[not.end]?.kind === 'mark';
    return not.end <= start ? start - not.end <= REACH_OF_CANNOT : closes && not.start - end <= REACH_OF_CANNOT;
  });

const readFeatures = (message: Message, scope: Scope): Features => {
  const has = (group: string, name: string) =>
    hitsOf(message, group, name).some(
      (hit) =>
        !isNegated(message, scope, hit) &&
        (wordsAfterNot(message, scope, hit) ?? REACH_OF_NOT) > 0 &&
        !isRuledOut(message, scope, hit) &&
        !(name === 'harness' && isDeniedAfter(message, hit)),
    );
  return {
    rear: has('feature', 'rear') || has('mode', 'rear-facing'),
    forward: has('feature', 'forward') || has('mode', 'forward-facing'),
    booster: has('feature', 'booster') || has('kind', 'booster') || has('mode', 'booster'),
    harness: has('feature', 'harness'),
    only: hitsOf(message, 'feature', 'only').length > 0,
    notBooster:
      hitsOf(message, 'feature', 'not').length > 0 ||
      hitsOf(message, 'feature', 'booster').some((hit) => isRuledOut(message, scope, hit)),
    more: leadsTo(message) || (wordsOutside(message, () => true) > MOST_BESIDE_A_BOOSTER && !isDescribed(message)),
  };
};

const fromFeatures = ({
  rear,
  forward,
  booster,
  harness,
  only,
  notBooster,
  more,
}: Features): Found<ReadSeatKind> | null => {
  const becomesBooster = booster && !notBooster;
  if (rear && forward) return { value: becomesBooster ? 'all-in-one' : 'convertible', doubtful: false };
  // "from rear-facing to booster"
  if (rear && becomesBooster) return { value: 'all-in-one', doubtful: !more };
  if (rear) return only ? { value: 'rear-facing-only', doubtful: false } : null;
  if (harness && becomesBooster) return { value: 'combination', doubtful: false };
  if (forward && harness) return { value: 'forward-facing-harness', doubtful: !only && !notBooster };
  if (forward && only) return { value: 'forward-facing-harness', doubtful: true };
  if (becomesBooster) return { value: 'booster', doubtful: more };
  return null;
};

/** The kind of seat, from its everyday name or, where the kind was asked, from what it can do. */
export const readSeatKind = (message: Message, scope: Scope, asked: boolean): Found<ReadSeatKind> | null => {
  const hits = hitsOf(message, 'kind').filter(
    (hit) => !isDenied(message, scope, hit) && !scope.other[hit.start] && !isAskedAbout(message, scope, hit),
  );
  const features = readFeatures(message, scope);
  const named = distinct<ReadSeatKind>(hits).filter(
    (kind) => kind !== 'booster' && !(features.notBooster && (kind === 'combination' || kind === 'all-in-one')),
  );
  if (named.includes('all-in-one')) return { value: 'all-in-one', doubtful: false };
  if (named.length > 1) {
    if (named.includes('combination') && named.includes('forward-facing-harness'))
      return { value: 'combination', doubtful: false };
    const last = hits.filter(({ name }) => name !== 'booster').at(-1);
    return last ? { value: last.name as ReadSeatKind, doubtful: true } : null;
  }
  const [only] = named;
  // "from newborn to booster"
  const boosters = [...hitsOf(message, 'feature', 'booster'), ...hitsOf(message, 'kind', 'booster')];
  const allAges =
    features.booster &&
    !features.notBooster &&
    hitsOf(message, 'cue', 'newborn').some(({ start }) =>
      boosters.some((hit) => scope.clause[hit.start] === scope.clause[start]),
    );
  if (asked && allAges && (only === undefined || only === 'rear-facing-only'))
    return { value: 'all-in-one', doubtful: false };
  if (only === 'forward-facing-harness' && features.booster && !features.notBooster)
    return { value: 'combination', doubtful: false };
  if (only === 'convertible' && features.booster && !features.notBooster)
    return { value: 'all-in-one', doubtful: true };
  if (only) return { value: only, doubtful: false };
  const found = asked ? fromFeatures(features) : null;
  // "and never as a booster": in doubt what it is not for is asked.
  const becomes = found && ['convertible', 'all-in-one', 'combination'].includes(found.value);
  return becomes && hitsOf(message, 'cue', 'cannot').length > 0 ? { ...found, doubtful: true } : found;
};

/** Whether a kind of seat is meant where something else was asked: without a seat one word may be about anything ("he spins"). */
export const isKindMeant = (message: Message, kind: ReadSeatKind, asked: AskedSlot | null): boolean =>
  asked === 'seat-kind' ||
  // "forward facing with a harness" tells how a child rides in a seat that may do more.
  (kind === 'forward-facing-harness' && hitsOf(message, 'feature', 'only').length === 0
    ? false
    : asked === null || asked === 'mode') ||
  kind === 'booster' ||
  hitsOf(message, 'cue', 'seat').length > 0;
