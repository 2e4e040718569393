import type { Hit } from './patterns.ts';
import type { Scope } from './scope.ts';
import { hitAt, hitsOf, type Message } from './words.ts';

/** Whether a "not" stands just before a phrase of its clause. */
export const isNegated = (message: Message, scope: Scope, hit: Hit): boolean =>
  hitsOf(message, 'relation', 'not').some(
    ({ start, end }) =>
      end <= hit.start &&
      hit.start - end <= (hit.name === 'none' ? 0 : 1) &&
      scope.clause[start] === scope.clause[hit.start],
  );

/** Words from a negation to a mode within which it may still deny it. */
export const REACH_OF_NOT = 4;

/**
 * How many words before a mode its clause holds a "not", however long the phrase that the word stands in: the "no" of
 * "todavía no" denies what follows as the plain word does. Null where there is none in reach.
 */
export const wordsAfterNot = (message: Message, scope: Scope, { name, start }: Hit): number | null => {
  const { tokens, vocabulary } = message;
  if (name === 'none') return null;
  const corrections = [
    ...hitsOf(message, 'relation', 'correction').filter((hit) => hit.end - hit.start > 1),
    // "부스터 안 쓰고" denies the booster.
    ...hitsOf(message, 'feature', 'not'),
    // "카시트 안 쓰고 벨트": the "not" of no seat.
    ...hitsOf(message, 'mode', 'none').filter((hit) => hit.end - hit.start > 1 && hit.end < start),
  ];
  for (let at = start - 1; at >= 0 && start - 1 - at <= REACH_OF_NOT; at--) {
    if (scope.clause[at] !== scope.clause[start]) return null;
    // "no wait" takes something back, and denies nothing that follows.
    if (corrections.some((hit) => at >= hit.start && at < hit.end)) continue;
    const { text = '', raw = '' } = tokens[at] ?? {};
    // Where accents part words "nó" is no "no".
    const isSpelt = (word: string | undefined) => !vocabulary.strict || raw === text || raw === word;
    const says = (vocabulary.byFirst.get(text) ?? []).some(
      ({ words, group, name: what }) =>
        words.length === 1 && group === 'relation' && what === 'not' && isSpelt(words[0]?.raw),
    );
    if (says) return start - 1 - at;
  }
  return null;
};

const notAt = (message: Message, at: number): Hit | null =>
  hitAt(message, 'relation', at, 'not') ?? hitAt(message, 'answer', at, 'no');

/** Whether a "not" follows at once, as where the verb comes last. */
export const isDeniedAfter = (message: Message, { end, name }: Hit): boolean =>
  name !== 'none' && notAt(message, end) !== null;

/** Whether nothing but the "not" follows in the clause. */
export const endsClause = (message: Message, scope: Scope, { end }: Hit): boolean => {
  const not = notAt(message, end)?.end ?? end;
  const next = message.tokens.findIndex(({ kind, opensWord }, at) => at >= not && kind === 'word' && opensWord);
  return next < 0 || scope.clause[next] !== scope.clause[end - 1];
};

/** "what's a booster", "booster là gì": a thing asked about is not in use. */
export const isAskedAbout = (message: Message, scope: Scope, hit: Hit): boolean =>
  hitsOf(message, 'intent', 'help').some(
    ({ start, end }) =>
      scope.clause[start] === scope.clause[hit.start] &&
      (end === hit.start || end + 1 === hit.start || start === hit.end || start === hit.end + 1),
  );

/** Whether a "not" just before a phrase, or at the end of its clause just after it, denies it. */
export const isDenied = (message: Message, scope: Scope, hit: Hit): boolean =>
  // "没有增高垫": a phrase that says what the seat is not.
  hitsOf(message, 'feature', 'not').some(({ start, end }) => hit.start > start && hit.start < end) ||
  isNegated(message, scope, hit) ||
  (wordsAfterNot(message, scope, hit) ?? REACH_OF_NOT) <= 1 ||
  (isDeniedAfter(message, hit) && endsClause(message, scope, hit));
