import { isAskedAbout, isDenied, isDeniedAfter, wordsAfterNot } from './denial.ts';
import type { Found } from './found.ts';
import { distinct, readSeatKind } from './kinds.ts';
import { type Hit, matchPattern } from './patterns.ts';
import type { Scope } from './scope.ts';
import { isClearlyTakenBack } from './taken-back.ts';
import type { AskedSlot, ReadMode, ReadSeatKind } from './types.ts';
import { isWavering } from './wavering.ts';
import { hitsOf, type Message, wordsOutside } from './words.ts';

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
  if (!hit || isDenied(message, scope, hit)) return null;
  // "belt, no booster"
  const boosters = hitsOf(message, 'feature', 'booster');
  const none = boosters.length > 0 || hitsOf(message, 'feature', 'not').length > 0;
  if (none && boosters.every((each) => isDenied(message, scope, each))) return { value: 'seat-belt', doubtful: false };
  return hit.end - hit.start >= words ? { value: 'seat-belt', doubtful: true } : null;
};

const MOST_BESIDE_A_LACK = 2;

/** "seat? we don't have one": all of the answer to how the child rides. */
const seatLacked = (message: Message): Found<ReadMode> | null => {
  const lacks = hitsOf(message, 'cue', 'lacks');
  const outside = (at: number) => !lacks.some(({ start, end }) => at >= start && at < end);
  const named = waysNamed(message).length + hitsOf(message, 'feature', 'rear', 'forward', 'booster').length;
  const whole = lacks.length > 0 && named === 0 && wordsOutside(message, () => true, outside) <= MOST_BESIDE_A_LACK;
  return whole ? { value: 'none', doubtful: false } : null;
};

/** A bare direction ("forward") answers the question of the mode; a longer message may mean something else by it. */
const directionOnly = (message: Message, scope: Scope): Found<ReadMode> | null => {
  const asides = isBackOrMode(message) ? [] : hitsOf(message, 'intent');
  const hits = hitsOf(message, 'feature', 'rear', 'forward').filter(
    (hit) => !isDenied(message, scope, hit) && !asides.some(({ start, end }) => hit.start >= start && hit.end <= end),
  );
  const [direction, ...others] = distinct<string>(hits);
  if (direction === undefined) return beltOnly(message, scope);
  if (others.length > 0) return null;
  const words = message.tokens.filter(({ kind, opensWord }) => kind === 'word' && opensWord).length;
  const wavers = hits.some((hit) => isWavering(message, scope, hit));
  return { value: direction === 'rear' ? 'rear-facing' : 'forward-facing', doubtful: wavers || words > MOST_WORDS };
};

/** "rear facing till he was 2, now forward": a direction said after the named way of riding, in words of its own. */
const laterDirection = (message: Message, scope: Scope, used: readonly Hit[]): Found<ReadMode> | null => {
  const last = Math.max(...used.map(({ end }) => end));
  const hit = hitsOf(message, 'feature', 'rear', 'forward').find(
    ({ start }) => start >= last && scope.turns.has(scope.clause[start] ?? 0),
  );
  if (!hit || isDenied(message, scope, hit)) return null;
  return { value: hit.name === 'rear' ? 'rear-facing' : 'forward-facing', doubtful: false };
};

/** Ways of riding that a kind of seat leaves no choice in, where the way is asked and only the seat is named. */
const ONLY_WAY: Readonly<Partial<Record<ReadSeatKind, ReadMode>>> = {
  'rear-facing-only': 'rear-facing',
  'forward-facing-harness': 'forward-facing',
  booster: 'booster',
};

const wayOfKind = (message: Message, scope: Scope): Found<ReadMode> | null => {
  const kind = readSeatKind(message, scope, false);
  const way = kind && ONLY_WAY[kind.value];
  if (way) return { value: way, doubtful: kind.doubtful };
  const [hit] = hitsOf(message, 'kind', 'booster').filter(
    (each) => !isDenied(message, scope, each) && !scope.other[each.start] && !isAskedAbout(message, scope, each),
  );
  return hit ? { value: 'booster', doubtful: wordsAfterNot(message, scope, hit) !== null } : null;
};

/** Ways of riding named in the message, outside what it asks for and what another phrase says better. */
const waysNamed = (message: Message): readonly Hit[] => {
  const asides = isBackOrMode(message) ? [] : hitsOf(message, 'intent');
  const inside = (hit: Hit) => asides.some(({ start, end }) => hit.start >= start && hit.end <= end);
  const ways = hitsOf(message, 'mode');
  // "背对着前面坐": of two phrases that share words the longer one is said.
  const shares = (hit: Hit) =>
    ways.some(
      ({ name, start, end }) =>
        name !== hit.name && start < hit.end && hit.start < end && end - start > hit.end - hit.start,
    );
  // "还没有朝前坐": before a way of riding it only denies it.
  const denies = ({ name, end }: Hit) =>
    name === 'none' && [...ways, ...hitsOf(message, 'feature', 'rear', 'forward')].some(({ start }) => start === end);
  return ways.filter((hit) => !inside(hit) && !shares(hit) && !denies(hit));
};

/** "not forward facing yet": the other way, to be read back. */
const otherThanDenied = (message: Message, scope: Scope): Found<ReadMode> | null => {
  const named = [...waysNamed(message), ...hitsOf(message, 'feature', 'rear', 'forward')];
  const forward = named.filter(({ name }) => name === 'forward-facing' || name === 'forward');
  const only = forward.length > 0 && forward.length === named.length;
  return only && forward.every((hit) => isDenied(message, scope, hit))
    ? { value: 'rear-facing', doubtful: true }
    : null;
};

/** Whether a phrase holds another one, also where the longer phrase hides it. */
const holds = ({ vocabulary, tokens }: Message, { start, end }: Hit, concept: string): boolean => {
  for (let at = start; at < end; at++)
    for (const pattern of vocabulary.byFirst.get(tokens[at]?.text ?? '') ?? [])
      if (pattern.concept === concept && matchPattern(pattern, tokens, at, vocabulary.strict) > 0) return true;
  return false;
};

/** "sin sillita, con el puro cinturón": no seat, but the belt. */
const isBeltWithoutSeat = (message: Message, hits: readonly Hit[]): boolean =>
  hits.some(({ name }) => name === 'seat-belt') &&
  hits.every((hit) => hit.name !== 'none' || (holds(message, hit, 'cue.seat') && !holds(message, hit, 'feature.belt')));

/** "convertible, rear facing right now": told beside the kind of seat. */
export const readModeNow = (message: Message, scope: Scope): Found<ReadMode> | null => {
  const hits = waysNamed(message).filter(
    (hit) =>
      (hit.name === 'rear-facing' || hit.name === 'forward-facing') &&
      !isDenied(message, scope, hit) &&
      !isWavering(message, scope, hit) &&
      hitsOf(message, 'relation', 'now').some(
        ({ start }) => scope.clause[start] === scope.clause[hit.start] || start === hit.end,
      ),
  );
  const [only, ...others] = distinct<ReadMode>(hits);
  const named = hitsOf(message, 'kind').some(({ start }) =>
    hits.every((hit) => scope.clause[hit.start] !== scope.clause[start]),
  );
  return only !== undefined && others.length === 0 && named ? { value: only, doubtful: false } : null;
};

/** How the child rides, as said in the message. */
export const readMode = (message: Message, scope: Scope, asked: boolean): Found<ReadMode> | null => {
  // "the booster says 40 to 100" names the seat, not how the child rides.
  const limits = new Set(asked ? [] : hitsOf(message, 'cue', 'limit').map(({ start }) => scope.clause[start]));
  const hits = waysNamed(message).filter(
    (hit) =>
      !isDenied(message, scope, hit) &&
      !isAskedAbout(message, scope, hit) &&
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
  const isFarDenied = (hit: Hit) => {
    const words = wordsAfterNot(message, scope, hit);
    const not = words === null ? hit.start : hit.start - 1 - words;
    const between = ({ name, start, end }: Hit) => name !== hit.name && start > not && end <= hit.start;
    return words !== null && !waysNamed(message).some(between);
  };
  const standing = said.filter((hit) => !isFarDenied(hit) && !isDeniedAfter(message, hit));
  const used = standing.length > 0 ? standing : said;
  // "normal belt, no booster": no booster is not nothing where the belt is named.
  const onlyNoBooster = used
    .filter(({ name }) => name === 'none')
    .every((hit) => holds(message, hit, 'feature.booster'));
  const belt = hitsOf(message, 'feature', 'belt').some((hit) => !isDenied(message, scope, hit));
  const named = distinct<ReadMode>(used);
  const noBooster = onlyNoBooster && named.length === 1 && named[0] === 'none';
  if (noBooster) return { value: belt ? 'seat-belt' : 'none', doubtful: !belt };
  let modes = named;
  if (modes.includes('seat-belt') && (onlyNoBooster || isBeltWithoutSeat(message, used)))
    modes = modes.filter((mode) => mode !== 'none');
  for (const [winner, loser] of OUTRANKS) if (modes.includes(winner)) modes = modes.filter((mode) => mode !== loser);
  const [only] = modes;
  if (only === undefined)
    return asked
      ? (directionOnly(message, scope) ??
          wayOfKind(message, scope) ??
          otherThanDenied(message, scope) ??
          seatLacked(message))
      : null;
  // "ak sentiwon chèz la": the belt of the child's seat.
  const seats = hitsOf(message, 'cue', 'seat').filter(
    ({ start, end }) => !hits.some((hit) => start < hit.end && end > hit.start),
  );
  const lacked = [...hitsOf(message, 'relation', 'not'), ...hitsOf(message, 'cue', 'lacks', 'cannot')].length > 0;
  const ofSeat = only === 'seat-belt' && !lacked && seats.some((hit) => !isDenied(message, scope, hit));
  const denied = ofSeat || used.some((hit) => hit.name === only && isFarDenied(hit));
  const wavers = used.some((hit) => isWavering(message, scope, hit));
  const turn = asked ? laterDirection(message, scope, used) : null;
  if (turn && turn.value !== only && modes.length === 1) return turn;
  // "nothing, just the lap belt"
  const lastUsed = used.at(-1);
  if (lastUsed?.name === 'seat-belt' && only === 'none' && modes.length === 1)
    return { value: 'seat-belt', doubtful: true };
  if (modes.length === 1) return { value: only, doubtful: current.length === 0 || denied || wavers };
  const last = used.reduce((best, hit) =>
    hit.start >= best.start && modes.includes(hit.name as ReadMode) ? hit : best,
  );
  const turned = scope.turns.has(scope.clause[last.start] ?? 0) || hitsOf(message, 'cue', 'turned').length > 0;
  const earlier = used.filter(({ end, name }) => end <= last.start && name !== last.name).at(-1);
  const mended = earlier !== undefined && isClearlyTakenBack(message, earlier.end, last.start);
  return { value: last.name as ReadMode, doubtful: !(turned || mended) || wavers };
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

/** Whether a way of riding named beside another question is likelier something else: "I hold him on the scale". */
export const isBeyond = (mode: ReadMode, asked: AskedSlot | null, answered: boolean): boolean =>
  (asked === 'yes-no' && !answered) ||
  (asked !== null && asked !== 'mode' && (mode === 'lap-held' || mode === 'none' || mode === 'seat-belt'));

/** "뒤로요 잘못 눌렀어요": one word that may also ask for the last question, where another thing was asked. */
export const isBareDirection = (message: Message): boolean => {
  const ways = hitsOf(message, 'mode');
  const words = ({ start, end }: Hit) => message.tokens.slice(start, end).filter(({ opensWord }) => opensWord).length;
  return hitsOf(message, 'intent', 'back').some(({ start, end }) =>
    ways.some((hit) => hit.start < end && hit.end > start && words(hit) === 1),
  );
};
