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

/** Parts a message. `anyChild`: whoever it speaks of is the child it is read for, so that nobody in it is another. */
export const readScope = (message: Message, anyChild = false): Scope => {
  const breaks = new Map<number, 'weak' | 'turn'>();
  for (const hit of hitsOf(message, 'relation', 'now', 'but')) breaks.set(hit.start, 'turn');
  const others = new Set(hitsOf(message, 'cue', 'other-child').map(({ end }) => end));
  // "pinsan nya": his cousin, not he.
  const subjects = hitsOf(message, 'cue', 'this-child', 'other-child').filter(
    ({ name, start }) => name === 'other-child' || !others.has(start),
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
    if (ends || broken === 'turn') isOther = false;
    const subject = starts.get(at);
    if (subject) isOther = !anyChild && subject === 'other-child';
    clause.push(inClause);
    sentence.push(inSentence);
    other.push(isOther);
  }
  return { clause, sentence, other, turns };
};
