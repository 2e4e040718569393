import type { Hit } from './patterns.ts';
import { hitsOf, type Message } from './words.ts';

/** How the message falls into parts, and whose each part is. */
export interface Scope {
  /** Number of the clause each token is in; commas, "but" and "now" begin a new one. */
  readonly clause: readonly number[];
  readonly sentence: readonly number[];
  /** The token belongs to what is said of another child. */
  readonly other: readonly boolean[];
  /** Clauses that begin with "now" or "but". */
  readonly turns: ReadonlySet<number>;
}

const STRONG = '.;!?\n';
const WEAK = ',()';

const MOST_BEFORE_A_RELATIVE = 1;

/** "my nephew is 2 months old": the child who is spoken of, where the message begins with it and names no other. */
const relativeMeant = (message: Message): Hit | null => {
  const named = hitsOf(message, 'cue', 'other-child');
  const [first, ...others] = named;
  const relative =
    first && hitsOf(message, 'cue', 'relative').some(({ start, end }) => start < first.end && end > first.start);
  const apart = others.some(({ start }) => start !== first?.start);
  if (!first || !relative || apart || first.start > MOST_BEFORE_A_RELATIVE) return null;
  // "o bebê conforto" is a seat.
  const seats = [first, ...hitsOf(message, 'cue', 'seat'), ...hitsOf(message, 'kind')];
  const inside = (hit: Hit) => seats.some(({ start, end }) => hit.start < end && hit.end > start);
  const children = hitsOf(message, 'cue', 'this-child').filter((hit) => !inside(hit));
  return children.every(({ start, end }) => end - start === 1) ? first : null;
};

/** Parts a message. `anyChild`: whoever it speaks of is the child it is read for, so that nobody in it is another. */
export const readScope = (message: Message, anyChild = false): Scope => {
  const others = new Set(hitsOf(message, 'cue', 'other-child').map(({ end }) => end));
  const breaks = new Map<number, 'weak' | 'turn'>();
  for (const hit of hitsOf(message, 'relation', 'now', 'but')) breaks.set(hit.start, 'turn');
  // "el hermano ya usa elevador": behind the one it speaks of a "now" speaks of nobody else.
  const within = new Set(
    hitsOf(message, 'relation', 'now')
      .map(({ start }) => start)
      .filter((start) => others.has(start)),
  );
  // "pinsan nya": his cousin, not he.
  const relative = relativeMeant(message);
  const subjects = hitsOf(message, 'cue', 'this-child', 'other-child').filter(
    (hit) => hit.start !== relative?.start && (hit.name === 'other-child' || !others.has(hit.start)),
  );
  const starts = new Map(subjects.map((hit) => [hit.start, hit.name]));
  for (const hit of hitsOf(message, 'relation', 'and')) if (starts.has(hit.end)) breaks.set(hit.start, 'weak');
  const clause: number[] = [];
  const sentence: number[] = [];
  const other: boolean[] = [];
  const turns = new Set<number>();
  let inClause = 0;
  let inSentence = 0;
  let isOther = false;
  let limit = false;
  let counted = false;
  const limits = new Set(hitsOf(message, 'cue', 'limit').map(({ start }) => start));
  for (const [at, token] of message.tokens.entries()) {
    const mark = token.kind === 'mark' ? token.text : '';
    const broken = breaks.get(at);
    const ends =
      mark !== '' && (STRONG.includes(mark) || (mark === '-' && token.spaced && message.tokens[at + 1]?.spaced));
    if (ends) inSentence += 1;
    // "the seat goes to 40 lb he is 31": whom the rest speaks of ends what was said of the seat.
    const back = limit && counted && starts.get(at) === 'this-child';
    if (ends || broken || back || (mark !== '' && WEAK.includes(mark))) {
      inClause += 1;
      limit = false;
      counted = false;
    }
    limit ||= limits.has(at);
    counted ||= token.kind === 'number' || (message.hits[at] ?? []).some(({ group }) => group === 'number');
    if (broken === 'turn') turns.add(inClause);
    if (ends || (broken === 'turn' && !within.has(at))) isOther = false;
    const subject = starts.get(at);
    if (subject) isOther = !anyChild && subject === 'other-child';
    clause.push(inClause);
    sentence.push(inSentence);
    other.push(isOther);
  }
  return { clause, sentence, other, turns };
};
