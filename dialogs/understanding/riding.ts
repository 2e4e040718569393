import type { Hit } from './patterns.ts';
import type { Scope } from './scope.ts';
import type { AskedSlot, ReadMode, ReadSeatKind } from './types.ts';
import { hitAt, hitsOf, type Message } from './words.ts';

export interface Found<T> {
  readonly value: T;
  readonly doubtful: boolean;
}

const isNegated = (message: Message, scope: Scope, hit: Hit): boolean =>
  hitsOf(message, 'relation', 'not').some(
    ({ start, end }) =>
      end <= hit.start &&
      hit.start - end <= (hit.name === 'none' ? 0 : 1) &&
      scope.clause[start] === scope.clause[hit.start],
  );

/** Words from a negation to a mode within which it may still deny it. */
const REACH_OF_NOT = 4;

/**
 * How many words before a mode its clause holds a "not", however long the phrase that the word stands in: the "no" of
 * "todavía no" denies what follows as the plain word does. Null where there is none in reach.
 */
const wordsAfterNot = ({ tokens, vocabulary }: Message, scope: Scope, { name, start }: Hit): number | null => {
  if (name === 'none') return null;
  for (let at = start - 1; at >= 0 && start - 1 - at <= REACH_OF_NOT; at--) {
    if (scope.clause[at] !== scope.clause[start]) return null;
    const word = tokens[at]?.text ?? '';
    const says = (vocabulary.byFirst.get(word) ?? []).some(
      (pattern) => pattern.words.length === 1 && pattern.group === 'relation' && pattern.name === 'not',
    );
    if (says) return start - 1 - at;
  }
  return null;
};

/** Whether a "not" follows at once, as where the verb comes last. */
const isDeniedAfter = (message: Message, { end, name }: Hit): boolean =>
  name !== 'none' && hitAt(message, 'relation', end, 'not') !== null;

const distinct = <T extends string>(hits: readonly Hit[]): T[] => [...new Set(hits.map(({ name }) => name as T))];

/** Of two modes named together the one that says how the child rides: a booster is used with the belt. */
const OUTRANKS: readonly (readonly [ReadMode, ReadMode])[] = [
  ['booster', 'seat-belt'],
  ['booster', 'forward-facing'],
  ['rear-facing', 'seat-belt'],
  ['forward-facing', 'seat-belt'],
  ['lap-held', 'none'],
  ['lap-held', 'seat-belt'],
  ['none', 'seat-belt'],
];

const WORDS_AFTER_PAST = 4;
const MOST_WORDS = 2;

/** "cinturón", "the seat belt": the whole answer. */
const beltOnly = (message: Message, scope: Scope): Found<ReadMode> | null => {
  const [hit] = hitsOf(message, 'feature', 'belt');
  const words = message.tokens.filter(({ kind }) => kind === 'word').length;
  const whole = hit && !isNegated(message, scope, hit) && hit.end - hit.start >= words;
  return whole ? { value: 'seat-belt', doubtful: true } : null;
};

/** A bare direction ("forward") answers the question of the mode; a longer message may mean something else by it. */
const directionOnly = (message: Message, scope: Scope): Found<ReadMode> | null => {
  const asides = isBackOrMode(message) ? [] : hitsOf(message, 'intent');
  const hits = hitsOf(message, 'feature', 'rear', 'forward').filter(
    (hit) => !isNegated(message, scope, hit) && !asides.some(({ start, end }) => hit.start >= start && hit.end <= end),
  );
  const [direction, ...others] = distinct<string>(hits);
  if (direction === undefined) return beltOnly(message, scope);
  if (others.length > 0) return null;
  const words = message.tokens.filter(({ kind, opensWord }) => kind === 'word' && opensWord).length;
  return { value: direction === 'rear' ? 'rear-facing' : 'forward-facing', doubtful: words > MOST_WORDS };
};

/** "rear facing till he was 2, now forward": a direction said after the named way of riding, in words of its own. */
const laterDirection = (message: Message, scope: Scope, used: readonly Hit[]): Found<ReadMode> | null => {
  const last = Math.max(...used.map(({ end }) => end));
  const hit = hitsOf(message, 'feature', 'rear', 'forward').find(
    ({ start }) => start >= last && scope.turns.has(scope.clause[start] ?? 0),
  );
  if (!hit || isNegated(message, scope, hit)) return null;
  return { value: hit.name === 'rear' ? 'rear-facing' : 'forward-facing', doubtful: false };
};

/** How the child rides, as said in the message. */
export const readMode = (message: Message, scope: Scope, asked: boolean): Found<ReadMode> | null => {
  const asides = isBackOrMode(message) ? [] : hitsOf(message, 'intent');
  const inside = (hit: Hit) => asides.some(({ start, end }) => hit.start >= start && hit.end <= end);
  const named = hitsOf(message, 'mode').filter((hit) => !inside(hit));
  // "the booster says 40 to 100" names the seat, not how the child rides.
  const limits = new Set(asked ? [] : hitsOf(message, 'cue', 'limit').map(({ start }) => scope.clause[start]));
  const hits = named.filter(
    (hit) =>
      !isNegated(message, scope, hit) &&
      (wordsAfterNot(message, scope, hit) ?? REACH_OF_NOT) > 1 &&
      (!scope.other[hit.start] || hit.name === 'lap-held') &&
      !limits.has(scope.clause[hit.start]) &&
      // A single "nothing" says how a child rides only where that was asked.
      (asked || hit.name !== 'none' || hit.end - hit.start > 1),
  );
  const past = hitsOf(message, 'relation', 'past');
  const isPast = (hit: Hit) =>
    past.some(
      ({ start, end }) =>
        end <= hit.start && hit.start - end <= WORDS_AFTER_PAST && scope.clause[start] === scope.clause[hit.start],
    );
  const current = hits.filter((hit) => !isPast(hit));
  const said = current.length > 0 ? current : hits;
  // "no usa ya booster, solo cinturón", "부스터 안 쓰고 벨트만": of several what is denied is not meant.
  const standing = said.filter((hit) => wordsAfterNot(message, scope, hit) === null && !isDeniedAfter(message, hit));
  const used = standing.length > 0 ? standing : said;
  let modes = distinct<ReadMode>(used);
  for (const [winner, loser] of OUTRANKS) if (modes.includes(winner)) modes = modes.filter((mode) => mode !== loser);
  const [only] = modes;
  if (only === undefined) return asked ? directionOnly(message, scope) : null;
  const denied = used.some((hit) => hit.name === only && wordsAfterNot(message, scope, hit) !== null);
  const turn = asked ? laterDirection(message, scope, used) : null;
  if (turn && turn.value !== only && modes.length === 1) return turn;
  if (modes.length === 1) return { value: only, doubtful: current.length === 0 || denied };
  const last = used.reduce((best, hit) =>
    hit.start >= best.start && modes.includes(hit.name as ReadMode) ? hit : best,
  );
  const turned = scope.turns.has(scope.clause[last.start] ?? 0) || hitsOf(message, 'cue', 'turned').length > 0;
  return { value: last.name as ReadMode, doubtful: !turned };
};

/** "volta pra trás" as the whole message: back to the last question, or the way the seat faces. */
export const isBackOrMode = (message: Message): boolean => {
  const words = message.tokens.filter(({ kind }) => kind === 'word').length;
  return hitsOf(message, 'intent', 'back').some((hit) => {
    return (
      hit.end - hit.start >= words &&
      hitsOf(message, 'mode').some(({ start, end }) => start < hit.end && end > hit.start)
    );
  });
};

interface Features {
  readonly rear: boolean;
  readonly forward: boolean;
  readonly booster: boolean;
  readonly harness: boolean;
  readonly only: boolean;
  readonly notBooster: boolean;
}

const readFeatures = (message: Message, scope: Scope): Features => {
  const has = (group: string, name: string) =>
    hitsOf(message, group, name).some((hit) => !isNegated(message, scope, hit));
  return {
    rear: has('feature', 'rear') || has('mode', 'rear-facing'),
    forward: has('feature', 'forward') || has('mode', 'forward-facing'),
    booster: has('feature', 'booster') || has('kind', 'booster') || has('mode', 'booster'),
    harness: has('feature', 'harness'),
    only: hitsOf(message, 'feature', 'only').length > 0,
    notBooster: hitsOf(message, 'feature', 'not').length > 0,
  };
};

const fromFeatures = ({ rear, forward, booster, harness, only, notBooster }: Features): Found<ReadSeatKind> | null => {
  const becomesBooster = booster && !notBooster;
  if (rear && forward) return { value: becomesBooster ? 'all-in-one' : 'convertible', doubtful: false };
  if (rear) return only ? { value: 'rear-facing-only', doubtful: false } : null;
  if (harness && becomesBooster) return { value: 'combination', doubtful: false };
  if (forward && harness) return { value: 'forward-facing-harness', doubtful: !only && !notBooster };
  if (forward && only) return { value: 'forward-facing-harness', doubtful: true };
  if (becomesBooster) return { value: 'booster', doubtful: false };
  return null;
};

/** The kind of seat, from its everyday name or, where the kind was asked, from what it can do. */
export const readSeatKind = (message: Message, scope: Scope, asked: boolean): Found<ReadSeatKind> | null => {
  const hits = hitsOf(message, 'kind').filter((hit) => !isNegated(message, scope, hit) && !scope.other[hit.start]);
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
  return asked ? fromFeatures(features) : null;
};

/** Whether a way of riding named beside another question is likelier something else: "I hold him on the scale". */
export const isBeyond = (mode: ReadMode, asked: AskedSlot | null, answered: boolean): boolean =>
  (asked === 'yes-no' && !answered) ||
  (asked !== null && asked !== 'mode' && (mode === 'lap-held' || mode === 'none' || mode === 'seat-belt'));

/** Whether a kind of seat is meant where something else was asked: without a seat one word may be about anything ("he spins"). */
export const isKindMeant = (message: Message, kind: ReadSeatKind, asked: AskedSlot | null): boolean =>
  asked === null ||
  asked === 'mode' ||
  asked === 'seat-kind' ||
  kind === 'booster' ||
  hitsOf(message, 'cue', 'seat').length > 0;
